package worktable

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/text"
)

// Placement tells where in a file the values of a part were read.
type Placement struct {
	Places text.Places // by path in the part; columns count cells
	heads  []string
}

// Header names the column at a place; empty for a row as a whole.
func (p Placement) Header(at text.Position) string {
	if at.Column < 1 || at.Column > len(p.heads) {
		return ""
	}
	return p.heads[at.Column-1]
}

// Read gives a part the operations of a table. What a record of the part alone can
// tell to be wrong is checked; all of it comes back at once as *Errors.
func Read(data []byte, part bom.Part) (bom.Part, Placement, error) {
	s, err := Split(data)
	if err != nil {
		return part, Placement{}, err
	}
	r := &reader{part: part, columns: map[string]int{}, places: Placement{text.Places{}, s.Heads}, old: part.Routing, mark: markOf(s)}
	r.part.Routing = nil
	r.header(s.Heads)
	if len(r.errors) > 0 {
		return part, r.places, errorsOf(r.errors)
	}
	for _, line := range s.Rows {
		r.row(line)
	}
	out, err := r.checked()
	return out, r.places, err
}

// reader builds a routing row by row.
type reader struct {
	part    bom.Part
	old     []bom.Operation
	columns map[string]int // by name
	names   []string       // of the columns, in the order of the file
	places  Placement
	mark    mark
	errors  []Error
}

func (r *reader) fail(line, column int, format string, args ...any) {
	e := Error{Line: line, Column: column, Header: r.places.Header(text.Position{Line: line, Column: column}), Message: fmt.Sprintf(format, args...)}
	r.errors = append(r.errors, e)
}

func (r *reader) header(heads []string) {
	columnOf, names := headed(), make([]string, len(columns))
	for i, c := range columns {
		names[i] = c.Name
	}
	for i, head := range heads {
		name := columnOf[strings.ToLower(head)]
		switch _, twice := r.columns[name]; {
		case head == "":
			r.fail(1, i+1, "column %d has no name", i+1)
		case name == "":
			hint := ""
			if near, ok := text.Nearest(head, names); ok {
				hint = "; did you mean " + near + "?"
			}
			r.fail(1, i+1, "there is no column of this name%s", hint)
		case twice:
			r.fail(1, i+1, "there are two columns of this name")
		default:
			r.columns[name], r.names = i, append(r.names, name)
		}
	}
	if _, ok := r.columns[operationColumn]; !ok && len(r.errors) == 0 {
		r.fail(1, 0, "there is no column %s", operationColumn)
	}
}

// cell gives the text of a column in a row, and its number from 1.
func (r *reader) cell(line Row, name string) (written string, column int) {
	at, ok := r.columns[name]
	if !ok || at >= len(line.Cells) {
		return "", at + 1
	}
	return line.Cells[at], at + 1
}

func (r *reader) row(line Row) {
	if len(line.Cells) > len(r.places.heads) {
		r.fail(line.Line, 0, "the row has %d cells, and there are %d columns", len(line.Cells), len(r.places.heads))
		return
	}
	number, column := r.number(line)
	if number == 0 {
		return
	}
	feature, at := r.cell(line, featureColumn)
	characteristic, other := r.cell(line, characteristicColumn)
	switch {
	case feature != "" && characteristic != "":
		r.fail(line.Line, other, "a row names a feature or a characteristic, not both")
	case feature != "":
		inner(r, line, FeatureRow, number, feature, at, "operation %d has feature %s already",
			func(o *bom.Operation) *[]bom.Feature { return &o.Features },
			func(f *bom.Feature) bool { return string(f.ID) == feature }, bom.Feature{ID: bom.ID(feature)})
	case characteristic != "":
		inner(r, line, CharacteristicRow, number, characteristic, other, "operation %d measures %s already",
			func(o *bom.Operation) *[]bom.Characteristic { return &o.Characteristics },
			func(c *bom.Characteristic) bool { return c.Name == characteristic }, bom.Characteristic{Name: characteristic})
	default:
		r.operation(line, number, column)
	}
}

// number is that of the operation; 0 where it cannot be read.
func (r *reader) number(line Row) (number, column int) {
	written, column := r.cell(line, operationColumn)
	d, err := bom.ParseDecimal(written)
	const most = 1_000_000
	if err != nil || !d.IsInteger() || !d.IsPositive() || d.GreaterThan(bom.Whole(most).Likely) {
		r.fail(line.Line, column, "%q is no number of an operation such as 20", bom.Shorten(written))
		return 0, column
	}
	return int(d.IntPart()), column
}

func (r *reader) operation(line Row, number, column int) {
	if r.find(number) >= 0 {
		r.fail(line.Line, column, "operation %d has a row already", number)
		return
	}
	op := bom.Operation{Number: number}
	if at := slices.IndexFunc(r.old, func(o bom.Operation) bool { return o.Number == number }); at >= 0 {
		op = r.old[at]
	}
	if _, ok := r.columns[featureColumn]; ok {
		op.Features = nil
	}
	if _, ok := r.columns[characteristicColumn]; ok {
		op.Characteristics = nil
	}
	path := text.Index("routing", len(r.part.Routing))
	r.place(path, line.Line, 0)
	r.place(path+".number", line.Line, column)
	r.fill(line, OperationRow, reflect.ValueOf(&op).Elem(), path)
	r.part.Routing = append(r.part.Routing, op)
}

// find gives the place of an operation among those read; -1 for none.
func (r *reader) find(number int) int {
	return slices.IndexFunc(r.part.Routing, func(o bom.Operation) bool { return o.Number == number })
}

// inner reads a row of a feature or a characteristic into its list in an operation. What
// the file does not say of one is as it was before.
func inner[T any](r *reader, line Row, kind RowKind, number int, id string, column int, taken string, listOf func(*bom.Operation) *[]T, same func(*T) bool, fresh T) {
	at := r.find(number)
	if at < 0 {
		_, c := r.cell(line, operationColumn)
		r.fail(line.Line, c, "operation %d has no row of its own above", number)
		return
	}
	list := listOf(&r.part.Routing[at])
	find := func(in []T) int { return slices.IndexFunc(in, func(one T) bool { return same(&one) }) }
	if find(*list) >= 0 {
		r.fail(line.Line, column, taken, number, bom.Shorten(id))
		return
	}
	for i := range r.old {
		before := *listOf(&r.old[i])
		if j := find(before); r.old[i].Number == number && j >= 0 {
			fresh = before[j]
		}
	}
	path := text.Index(text.Field(text.Index("routing", at), kind.String()+"s"), len(*list))
	r.place(path, line.Line, 0)
	r.place(text.Field(path, idFields[kind]), line.Line, column)
	r.fill(line, kind, reflect.ValueOf(&fresh).Elem(), path)
	*list = append(*list, fresh)
}

func (r *reader) place(path string, line, column int) {
	r.places.Places[path] = text.Position{Line: line, Column: column}
}

// fill reads the cells of a row into its record.
func (r *reader) fill(line Row, kind RowKind, record reflect.Value, path string) {
	for _, head := range r.names {
		if slices.Contains(nameColumns[:], head) {
			continue
		}
		cell, column := r.cell(line, head)
		f, own := fieldsOf[kind][head]
		switch {
		case !own && cell != "":
			r.fail(line.Line, column, "a row of %s has no %s; leave it empty", an(kind), head)
		case own && cell == "" && f.required:
			r.fail(line.Line, column, "%s needs a %s", an(kind), head)
		case own:
			r.place(text.Field(path, f.path), line.Line, column)
			if err := r.mark.put(inside(record, f.way), cell); err != nil {
				r.fail(line.Line, column, "%s", err)
			}
		}
	}
	dropEmpty(record)
	r.required(line, kind, record)
}

func an(kind RowKind) string {
	if kind == OperationRow {
		return "an operation"
	}
	return "a " + kind.String()
}

// required wants the columns without which a new record cannot be.
func (r *reader) required(line Row, kind RowKind, record reflect.Value) {
	for _, c := range columns {
		f, own := fieldsOf[kind][c.Name]
		_, there := r.columns[c.Name]
		if own && f.required && !there && record.FieldByIndex(f.way).IsZero() {
			r.fail(line.Line, 0, "%s that is new needs a column %s", an(kind), c.Name)
		}
	}
}

// inside gives a field of a record, or of a record within it, which is copied first
// and begun where it is not there.
func inside(record reflect.Value, way []int) reflect.Value {
	v := record.Field(way[0])
	if len(way) == 1 {
		return v
	}
	fresh := reflect.New(v.Type().Elem())
	if !v.IsNil() {
		fresh.Elem().Set(v.Elem())
	}
	v.Set(fresh)
	return fresh.Elem().Field(way[1])
}

// dropEmpty takes records within a record away that hold nothing.
func dropEmpty(record reflect.Value) {
	for i := range record.NumField() {
		v := record.Field(i)
		if v.Kind() == reflect.Pointer && v.Type().Elem().Kind() == reflect.Struct && v.Type().Elem() != numberType && !v.IsNil() && v.Elem().IsZero() {
			v.SetZero()
		}
	}
}

// checked writes the part and reads it again, which holds every field against its
// bounds.
func (r *reader) checked() (bom.Part, error) {
	written, err := text.Encode(r.part)
	if err != nil {
		r.errors = append(r.errors, Error{Message: strings.TrimPrefix(err.Error(), "text: ")})
		return r.part, errorsOf(r.errors)
	}
	var again bom.Part
	_, err = text.DecodeRecord(written, &again)
	var found *text.Errors
	if errors.As(err, &found) {
		for _, e := range found.List {
			at := r.places.Places.Of(e.Path)
			if !slices.ContainsFunc(r.errors, func(o Error) bool { return o.Line == at.Line && o.Column == at.Column }) {
				r.fail(at.Line, at.Column, "%s", e.Message)
			}
		}
	} else if err != nil {
		return r.part, err
	}
	return again, errorsOf(r.errors)
}
