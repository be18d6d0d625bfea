package change

import (
	"bytes"
	"errors"
	"slices"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/worktable"
	"kerfbook/costing/papers/table"
	"kerfbook/costing/text"
)

// OperationsImport is a table of operations and features taken into a part, or what
// it would do.
type OperationsImport struct {
	Part    string
	Version answer.Version // of the part: before a preview, after an import
	worktable.Differences
	Record []byte // the part as text, with the table taken in
}

// OperationsCSV writes the operations and features of a part as a table.
func OperationsCSV(p *bom.Part, profile table.Profile) ([]byte, error) {
	var rows [][]table.Cell
	for _, line := range worktable.Write(p, profile&table.DecimalComma != 0) {
		rows = append(rows, table.Texts(line...))
	}
	var out bytes.Buffer
	err := table.WriteCSV(&out, rows, profile)
	return out.Bytes(), err
}

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

// TableOperations takes a table into a part of a book that is not stored.
func TableOperations(b *book.Book, number string, table []byte) (OperationsImport, error) {
	drafts, err := Split(b, nil, nil)
	if err != nil {
		return OperationsImport{}, err
	}
	out, _, err := (&Shelf{}).With(drafts).Tabled(number, table)
	return out, err
}

// Tabled takes a table into a part and holds it against the whole book.
func (s *Shelf) Tabled(number string, table []byte) (OperationsImport, Draft, error) {
	found, before, err := s.Part(number)
	if err != nil {
		return OperationsImport{}, Draft{}, err
	}
	after, placed, err := worktable.Read(table, before)
	if err != nil {
		return OperationsImport{}, Draft{}, misread(err)
	}
	d, err := partDraft(after)
	if err != nil {
		return OperationsImport{}, Draft{}, err
	}
	d.places = placed.Places // in the table
	next := s.With([]Draft{d})
	if err := s.Check([]Draft{d}, next); err != nil {
		return OperationsImport{}, Draft{}, inTable(err, placed)
	}
	kept, _ := next.Find(d.Kind.Name, d.ID)
	out := OperationsImport{Part: number, Differences: worktable.Between(&before, &after), Record: d.Kind.Plain(kept.Text)}
	if found.Revision > 0 { // of a book sent along there is none
		out.Version = found.Version()
	}
	return out, d, nil
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
	var found *worktable.Errors
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
// the table, and leaves out pointers into what was not sent.
func inTable(err error, placed worktable.Placement) error {
	var known *answer.Error
	if !errors.As(err, &known) {
		return err
	}
	out := *known
	out.Message = "the table does not fit the book; nothing was written"
	out.Fields = slices.Clone(known.Fields)
	for i, f := range out.Fields {
		if f.Line > 0 {
			out.Fields[i].Path = placed.Header(text.Position{Line: f.Line, Column: f.Column})
			out.Fields[i].Pointer = ""
		}
	}
	return &out
}

// PartOf reads the text of a part.
func PartOf(written []byte) (bom.Part, error) {
	var p bom.Part
	_, err := text.DecodeRecord(written, &p)
	return p, err
}
