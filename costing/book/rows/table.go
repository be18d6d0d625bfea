package rows

import (
	"errors"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"

	"kerfbook/costing/text"
)

// Placement tells where in a file the values of a record were read.
type Placement struct {
	Places text.Places // by path in the record; columns count cells
	heads  []string
}

// Header names the column at a place; empty for a row as a whole.
func (p Placement) Header(at text.Position) string {
	if at.Column < 1 || at.Column > len(p.heads) {
		return ""
	}
	return p.heads[at.Column-1]
}

// table is a sheet that is being read.
type table struct {
	Sheet
	Placement
	mark    mark
	columns map[string]int // of the file, by path
	paths   []string       // of its columns, in its order
	errors  []Error
	more    int // that the reader of texts did not list
}

// open takes a sheet apart and finds its columns.
func open(data []byte, known []Column) (*table, error) {
	s, err := Split(data)
	t := &table{Sheet: s, Placement: Placement{text.Places{}, s.Heads}, columns: map[string]int{}}
	if err != nil {
		return t, err
	}
	byHead := headed(known)
	for i, head := range s.Heads {
		path := byHead[strings.ToLower(head)]
		switch _, twice := t.columns[path]; {
		case head == "":
			t.fail(1, i+1, "column %d has no name", i+1)
		case path == "":
			hint := ""
			if near, ok := text.Nearest(strings.ToLower(head), slices.Sorted(maps.Keys(byHead))); ok {
				hint = "; did you mean " + near + "?"
			}
			t.fail(1, i+1, "there is no column of this name%s", hint)
		case twice:
			t.fail(1, i+1, "there are two columns of this name")
		default:
			t.columns[path], t.paths = i, append(t.paths, path)
		}
	}
	t.mark = t.markOf(known)
	return t, t.err()
}

func (t *table) fail(line, column int, format string, args ...any) {
	t.errors = append(t.errors, Error{Line: line, Column: column, Header: t.Header(text.Position{Line: line, Column: column}), Message: fmt.Sprintf(format, args...)})
}

// err is all that is wrong.
func (t *table) err() error { return errorsOf(t.errors, t.more) }

// fits refuses a row with more cells than there are columns.
func (t *table) fits(line Row) bool {
	if len(line.Cells) <= len(t.heads) {
		return true
	}
	t.fail(line.Line, 0, "the row has %d cells, and there are %d columns", len(line.Cells), len(t.heads))
	return false
}

// cell gives the text of a column in a row, and its number from 1; 0 for no column.
func (t *table) cell(line Row, path string) (written string, column int) {
	at, ok := t.columns[path]
	switch {
	case !ok:
		return "", 0
	case at >= len(line.Cells):
		return "", at + 1
	}
	return line.Cells[at], at + 1
}

func (t *table) place(path string, line, column int) {
	t.Places[path] = text.Position{Line: line, Column: column}
}

// values reads the cells of a row as the text of the book, by path. What the file has no
// column for is as it was in the record before, if there is one.
func (t *table) values(line Row, columns []Column, before reflect.Value, root string) map[string]string {
	said, was := map[string]string{}, map[string]string{}
	t.place(root, line.Line, 0)
	if before.IsValid() {
		was = point.cells(columns, before)
	}
	for _, c := range columns {
		cell, column := t.cell(line, c.Path)
		m := t.mark
		if column > 0 {
			t.place(text.Field(root, c.Path), line.Line, column)
		} else {
			cell, m = was[c.Path], point
		}
		if cell == "" {
			continue
		}
		plain, err := m.plain(c, cell)
		if err != nil {
			t.fail(line.Line, column, "%s", err)
		}
		said[c.Path] = plain
	}
	return said
}

// refused places what the reader of texts says of a record, but for cells that are
// faulty already.
func (t *table) refused(err error) error {
	var found *text.Errors
	if !errors.As(err, &found) {
		return err
	}
	t.more += found.More
	taken := map[text.Position]bool{}
	for _, e := range t.errors {
		taken[text.Position{Line: e.Line, Column: e.Column}] = e.Column > 0
	}
	for _, e := range found.List {
		if at := t.Places.Of(e.Path); !taken[at] {
			t.fail(at.Line, at.Column, "%s", strings.Replace(e.Message, "add this field", map[bool]string{true: "fill in this cell", false: "add a column for it"}[at.Column > 0], 1))
		}
	}
	return nil
}
