package change

import (
	"bytes"
	"errors"
	"reflect"
	"slices"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book/record"
	"kerfbook/costing/book/rows"
	"kerfbook/costing/papers/table"
	"kerfbook/costing/text"
)

// TableOf says what a table is of: the records of a kind, a list of the record of which
// there is one, or the operations of a part.
type TableOf struct {
	Kind record.Kind
	List string
	Part string
}

// TableNamed finds what a table is of by its name: that of a kind, or with that of a list
// behind it, such as rules.tariff.
func TableNamed(name string) (TableOf, error) {
	kind, list, listed := strings.Cut(name, ".")
	k, err := KindOf(kind)
	if err != nil || !listed {
		return TableOf{Kind: k}, err
	}
	for _, e := range rows.Lists(k) {
		if k.Only && e.Name == list {
			return TableOf{Kind: k, List: list}, nil
		}
	}
	return TableOf{}, answer.Errorf(answer.NotFound, "there is no table %q", bom.Shorten(name))
}

// OperationsOf is the table of the operations of a part.
func OperationsOf(number string) TableOf {
	k, _ := record.KindOf("parts")
	return TableOf{Kind: k, Part: number}
}

// Columns lists the columns that the table may have.
func (of TableOf) Columns() []rows.Column {
	if of.Part != "" {
		return rows.OperationColumns()
	}
	return rows.Columns(of.Kind, of.List)
}

// TableImport is a table taken in, or what it would do.
type TableImport struct {
	Version answer.Version      `json:"version" doc:"Of the part or the book that the table is of: after the import, or as it is if nothing was written"`
	Written bool                `json:"written"`
	Records []TableRecord       `json:"records" doc:"That it adds or changes"`
	Same    int                 `json:"unchanged" doc:"Records that say what the table says already"`
	Lacking []answer.FieldError `json:"lacking" doc:"What it leaves without what it refers to or needs; no figure that rests on this is given"`
	Next    *Shelf              `json:"-"` // with it
}

// TableRecord is a record that a table adds or changes.
type TableRecord struct {
	Kind   string                 `json:"kind"`
	ID     string                 `json:"id"`
	Did    string                 `json:"did" enum:"added,changed" doc:"What was done to it"`
	Fields []text.FieldDifference `json:"fields" doc:"What differs"`
}

// Table writes a table, for people with its heads in words, and gives the version of what
// it is of.
func (s *Shelf) Table(of TableOf, profile table.Profile) ([]byte, answer.Version, error) {
	var lines [][]string
	withComma, forPeople := profile&table.DecimalComma != 0, profile&table.Spreadsheet != 0
	version, err := s.versionOf(of)
	if err != nil {
		return nil, "", err
	}
	if of.Part != "" {
		_, p, _ := s.Part(of.Part) // it has a version
		lines = rows.WriteOperations(&p, withComma)
	} else {
		lines = rows.Write(of.Columns(), s.rowsOf(of), forPeople, withComma)
	}
	var out bytes.Buffer
	var cells [][]table.Cell
	for _, line := range lines {
		if !forPeople {
			for i := range line {
				line[i] = rows.Bare(line[i])
			}
		}
		cells = append(cells, table.Texts(line...))
	}
	err = table.WriteCSV(&out, cells, profile)
	return out.Bytes(), version, answer.Unexpected(err)
}

// rowsOf are the values that are rows of a table.
func (s *Shelf) rowsOf(of TableOf) []reflect.Value {
	var out []reflect.Value
	for _, h := range s.readable(of.Kind.Name) {
		if of.List == "" {
			out = append(out, h.value)
			continue
		}
		list := record.Field(h.value, of.List)
		for i := range list.Len() {
			out = append(out, list.Index(i))
		}
	}
	return out
}

// versionOf gives the version of the part, or of the book.
func (s *Shelf) versionOf(of TableOf) (answer.Version, error) {
	if of.Part == "" {
		return s.Version.Figures(), nil
	}
	found, _, err := s.Part(of.Part)
	return found.Version(), err
}

// Part gives a part that can be read.
func (s *Shelf) Part(number string) (holding, bom.Part, error) {
	found, ok := s.Find("parts", number)
	if !ok {
		return holding{}, bom.Part{}, answer.Errorf(answer.NotFound, "there is no part %s", bom.Shorten(number))
	}
	if found.unread != nil {
		return holding{}, bom.Part{}, answer.Invalidf("part %s cannot be read by this program; put its record right first", bom.Shorten(number))
	}
	return found, found.value.Interface().(bom.Part), nil
}

// Tabled takes a table in and holds it against the whole book.
func (s *Shelf) Tabled(of TableOf, data []byte) (out TableImport, err error) {
	if out.Version, err = s.versionOf(of); err != nil {
		return out, err
	}
	read, placed, err := s.readTable(of, data)
	if err != nil {
		return out, misread(err)
	}
	var drafts []Draft
	out.Records = []TableRecord{}
	for _, d := range read {
		held, had := s.Find(d.Kind.Name, d.ID)
		is := record.Record{Kind: d.Kind, ID: d.ID, Value: d.Value}
		found, err := recordDifference(record.Record{Value: held.value}, is, had && held.unread == nil)
		switch {
		case err != nil:
			return out, answer.Unexpected(err)
		case had && len(found.Fields) == 0:
			out.Same++
			continue
		case had:
			d.IfMatch = held.Version()
		}
		out.Records, drafts = append(out.Records, TableRecord{found.Kind, found.ID, found.Did, found.Fields}), append(drafts, d)
	}
	if out.Next, out.Lacking, err = s.After(drafts); err != nil {
		return out, inTable(err, placed)
	}
	out.Lacking = append([]answer.FieldError{}, out.Lacking...)
	for i, f := range out.Lacking {
		out.Lacking[i] = placed.field(f)
	}
	return out, nil
}

// placement names the columns of a table.
type placement struct{ rows.Placement }

// readTable reads a table as the records that it is about.
func (s *Shelf) readTable(of TableOf, data []byte) (drafts []Draft, placed placement, err error) {
	put := func(id string, value reflect.Value, places text.Places) {
		var d Draft
		if d, err = NewDraft(of.Kind, id, value, places); err == nil {
			drafts = append(drafts, d)
		}
	}
	switch {
	case of.Part != "":
		var after bom.Part
		_, part, _ := s.Part(of.Part) // it has a version
		if after, placed.Placement, err = rows.ReadOperations(data, part); err == nil {
			put(of.Part, reflect.ValueOf(after), placed.Places)
		}
		return drafts, placed, err
	case of.List != "":
		value := reflect.New(of.Kind.Type).Elem()
		held := s.readable(of.Kind.Name)
		if len(held) > 0 {
			value.Set(held[0].value)
		}
		entries, err := rows.ReadEntries(data, of.Kind, of.List)
		places, list := text.Places{}, record.Field(value, of.List)
		list.SetZero()
		for i, e := range entries {
			list.Set(reflect.Append(list, e.Value))
			for path, at := range e.Places {
				places[strings.TrimSuffix(text.Field(text.Index(of.List, i), path), ".")] = at
			}
			placed.Placement = e.Placement
		}
		if err == nil && (len(held) > 0 || !value.IsZero()) { // else nothing is there, before and after
			put(of.Kind.Name, value, places)
		}
		return drafts, placed, err
	}
	var held []record.Record
	for _, h := range s.readable(of.Kind.Name) {
		held = append(held, record.Record{Kind: of.Kind, ID: h.ID, Value: h.value})
	}
	entries, err := rows.ReadRecords(data, of.Kind, held)
	for _, e := range entries {
		if placed.Placement = e.Placement; err == nil {
			put(e.ID, e.Value, e.Places)
		}
	}
	return drafts, placed, err
}

// partDraft is the next revision of a part, not held against the book yet.
func partDraft(part bom.Part) (Draft, error) {
	k, err := KindOf("parts")
	if err != nil {
		return Draft{}, err
	}
	written, err := text.Encode(part)
	if err != nil {
		return Draft{}, answer.Unexpected(err)
	}
	value, places, err := k.Read(written)
	return Draft{Kind: k, ID: string(part.Number), Value: value, places: places, Written: written, byValue: true}, answer.Unexpected(err)
}

// misread turns what is wrong with a table into an error with a field for each.
func misread(err error) error {
	var found *rows.Errors
	if !errors.As(err, &found) {
		return answer.Unexpected(err)
	}
	out := answer.Invalidf("the table cannot be taken in; nothing was written")
	for _, e := range found.List {
		out.Fields = append(out.Fields, answer.FieldError{Path: e.Header, Line: e.Line, Column: e.Column, Message: e.Message})
	}
	if found.More > 0 {
		out.Message += "; more faults are not listed"
	}
	return out
}

// inTable names the columns at fault where the faults of a record have a place in
// the table.
func inTable(err error, placed placement) error {
	var known *answer.Error
	if !errors.As(err, &known) {
		return err
	}
	out := *known
	out.Message = "the table does not fit the book; nothing was written"
	out.Fields = slices.Clone(known.Fields)
	for i, f := range out.Fields {
		out.Fields[i] = placed.field(f)
	}
	return &out
}

// field names the column of a fault, and leaves out pointers into what was not sent.
func (p placement) field(f answer.FieldError) answer.FieldError {
	if f.Line > 0 {
		f.Path, f.Pointer = p.Header(text.Position{Line: f.Line, Column: f.Column}), ""
	}
	return f
}
