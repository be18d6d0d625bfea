package rows

import (
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/book/record"
	"kerfbook/costing/text"
)

// rowKind is what a row of a table of operations describes.
type rowKind int

// The kinds of row. The first columns of a row tell which it is.
const (
	operationRow rowKind = iota
	featureRow
	characteristicRow
	rowKinds
)

func (k rowKind) String() string {
	return [...]string{"operation", "feature", "characteristic"}[k]
}

// list is the field of an operation that rows of the kind stand in.
func (k rowKind) list() string { return k.String() + "s" }

// idFields tell the records of a list apart, which the first columns name.
var idFields = [rowKinds]string{"number", "id", "name"}

// OperationColumns lists the columns that a table of operations may have, in the order in
// which they are written.
func OperationColumns() []Column { return newOperations().columns }

// operations are what is known of tables of operations: the columns of a file, those of
// what the rows of each kind hold, and those of them that a file has under their own name.
type operations struct {
	columns    []Column
	whole, own [rowKinds][]Column
}

// places are where the rows of each kind stand in a part.
var places = [rowKinds]string{"routing", "routing.features", "routing.characteristics"}

func newOperations() operations {
	var o operations
	for k := range rowKinds {
		o.columns = append(o.columns, Column{Path: k.String()})
	}
	parts, _ := record.KindOf("parts")
	for k := range rowKinds {
		o.whole[k] = Columns(parts, places[k])
		o.own[k] = slices.DeleteFunc(slices.Clone(o.whole[k]), func(c Column) bool {
			return c.Path == idFields[k] || k == operationRow && (c.Path == featureRow.list() || c.Path == characteristicRow.list())
		})
		for _, c := range o.own[k] {
			if at := slices.IndexFunc(o.columns, func(other Column) bool { return other.Path == c.Path }); at < 0 {
				o.columns = append(o.columns, c)
			} else {
				o.columns[at].near = append(o.columns[at].near, c.near...)
			}
		}
	}
	return o
}

// ReadOperations gives a part the operations of a table. What a record of the part alone
// can tell to be wrong is checked; all of it comes back at once as *Errors.
func ReadOperations(data []byte, part bom.Part) (bom.Part, Placement, error) {
	known := newOperations()
	t, err := open(data, known.columns)
	if _, ok := t.columns[operationRow.String()]; err == nil && !ok {
		t.fail(1, 0, "there is no column %s", operationRow)
		err = t.err()
	}
	if err != nil {
		return part, t.Placement, err
	}
	r := &operationReader{table: t, operations: known, old: part.Routing}
	for _, line := range t.Rows {
		if t.fits(line) {
			r.row(line)
		}
	}
	part.Routing = nil
	written, err := text.Encode(part)
	if err != nil {
		return part, t.Placement, err
	}
	var out bom.Part
	_, err = text.DecodeRecord(fmt.Appendf(written, "routing: [%s]\n", r.text()), &out)
	if err = t.refused(err); err == nil {
		err = t.err()
	}
	return out, t.Placement, err
}

// operationReader builds a routing row by row.
type operationReader struct {
	*table
	operations
	old  []bom.Operation
	read []*readOperation
}

// readOperation is an operation with what its rows say.
type readOperation struct {
	number int
	was    bom.Operation
	said   map[string]string
	ids    [rowKinds]map[string]bool
	inner  [rowKinds][]string
}

func (r *operationReader) row(line Row) {
	number, column := r.number(line)
	if number == 0 {
		return
	}
	feature, at := r.cell(line, featureRow.String())
	characteristic, other := r.cell(line, characteristicRow.String())
	switch {
	case feature != "" && characteristic != "":
		r.fail(line.Line, other, "a row names a feature or a characteristic, not both")
	case feature != "":
		r.inner(line, featureRow, number, feature, at, "operation %d has feature %s already")
	case characteristic != "":
		r.inner(line, characteristicRow, number, characteristic, other, "operation %d measures %s already")
	default:
		r.operation(line, number, column)
	}
}

// number is that of the operation; 0 where it cannot be read.
func (r *operationReader) number(line Row) (number, column int) {
	written, column := r.cell(line, operationRow.String())
	d, err := bom.ParseDecimal(written)
	const most = 1_000_000
	if err != nil || !d.IsInteger() || !d.IsPositive() || d.GreaterThan(bom.Whole(most).Likely) {
		r.fail(line.Line, column, "%q is no number of an operation such as 20", bom.Shorten(written))
		return 0, column
	}
	return int(d.IntPart()), column
}

// find gives the place of an operation among those read; -1 for none.
func (r *operationReader) find(number int) int {
	return slices.IndexFunc(r.read, func(o *readOperation) bool { return o.number == number })
}

func (r *operationReader) operation(line Row, number, column int) {
	if r.find(number) >= 0 {
		r.fail(line.Line, column, "operation %d has a row already", number)
		return
	}
	op := &readOperation{number: number}
	var before reflect.Value
	if at := slices.IndexFunc(r.old, func(o bom.Operation) bool { return o.Number == number }); at >= 0 {
		op.was = r.old[at]
		before = reflect.ValueOf(op.was)
	}
	path := text.Index("routing", len(r.read))
	op.said = r.said(line, operationRow, before, path, strconv.Itoa(number), column)
	for k := featureRow; k < rowKinds; k++ {
		op.ids[k] = map[string]bool{}
		if _, listed := r.table.columns[k.String()]; !listed && before.IsValid() {
			op.said[k.list()] = r.lists(before, k)
		}
	}
	r.read = append(r.read, op)
}

// lists gives the features or the characteristics of an operation as the text has them.
func (r *operationReader) lists(of reflect.Value, k rowKind) string {
	for _, c := range r.whole[operationRow] {
		if cell := point.cell(c, c.of(of)); c.Path == k.list() && cell != "" {
			return cell
		}
	}
	return ""
}

// said gives what a row says, with the id that its first columns give.
func (r *operationReader) said(line Row, k rowKind, before reflect.Value, path, id string, column int) map[string]string {
	out := r.values(line, r.own[k], before, path)
	out[idFields[k]] = id
	r.place(text.Field(path, idFields[k]), line.Line, column)
	for _, name := range r.paths {
		cell, column := r.cell(line, name)
		named := slices.ContainsFunc(r.own[k], func(c Column) bool { return c.Path == name }) || slices.Contains([]string{operationRow.String(), featureRow.String(), characteristicRow.String()}, name)
		if cell != "" && !named {
			r.fail(line.Line, column, "%s has no %s; leave it empty", map[rowKind]string{operationRow: "an operation", featureRow: "a feature", characteristicRow: "a characteristic"}[k], name)
		}
	}
	return out
}

// inner reads a row of a feature or a characteristic into its list in an operation.
func (r *operationReader) inner(line Row, k rowKind, number int, id string, column int, taken string) {
	at := r.find(number)
	switch {
	case at < 0:
		_, c := r.cell(line, operationRow.String())
		r.fail(line.Line, c, "operation %d has no row of its own above", number)
		return
	case r.read[at].ids[k][id]:
		r.fail(line.Line, column, taken, number, bom.Shorten(id))
		return
	}
	op := r.read[at]
	op.ids[k][id] = true
	var before reflect.Value
	if k == featureRow {
		if i := slices.IndexFunc(op.was.Features, func(f bom.Feature) bool { return string(f.ID) == id }); i >= 0 {
			before = reflect.ValueOf(op.was.Features[i])
		}
	} else if i := slices.IndexFunc(op.was.Characteristics, func(c bom.Characteristic) bool { return c.Name == id }); i >= 0 {
		before = reflect.ValueOf(op.was.Characteristics[i])
	}
	path := text.Index(text.Field(text.Index("routing", at), k.list()), len(op.inner[k]))
	op.inner[k] = append(op.inner[k], together(r.whole[k], r.said(line, k, before, path, text.Quoted(id), column), ""))
}

// text gives the operations that were read as entries of a list in the text of the book.
func (r *operationReader) text() string {
	var out []string
	for _, op := range r.read {
		for k := featureRow; k < rowKinds; k++ {
			if len(op.inner[k]) > 0 {
				op.said[k.list()] = "[" + strings.Join(op.inner[k], ", ") + "]"
			}
		}
		out = append(out, together(r.whole[operationRow], op.said, ""))
	}
	return strings.Join(out, ", ")
}

// WriteOperations gives the table of a part: the names of its columns, then a row for each
// operation followed by those of its features and characteristics. Columns that no row
// fills are left out. Numbers have a decimal comma where one is asked for.
func WriteOperations(p *bom.Part, decimalComma bool) [][]string {
	known, m := newOperations(), markFor(decimalComma)
	var lines []map[string]string
	add := func(k rowKind, v any, number int, id string) {
		cells := map[string]string{operationRow.String(): strconv.Itoa(number)}
		maps.Copy(cells, m.cells(known.own[k], reflect.ValueOf(v)))
		if k != operationRow {
			cells[k.String()] = id
		}
		lines = append(lines, cells)
	}
	for _, op := range p.Routing {
		add(operationRow, op, op.Number, "")
		for _, f := range op.Features {
			add(featureRow, f, op.Number, string(f.ID))
		}
		for _, c := range op.Characteristics {
			add(characteristicRow, c, op.Number, c.Name)
		}
	}
	return laid(known.columns, lines, []string{"operation", "feature", "name", "kind", "work_centre"}, false)
}
