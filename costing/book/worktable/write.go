package worktable

import (
	"fmt"
	"reflect"
	"slices"

	"kerfbook/bom"
)

// always are the columns that every table has.
var always = []string{operationColumn, featureColumn, "name", "kind", "work_centre"}

// Write gives the table of a part: the names of its columns, then a row for each
// operation followed by those of its features and characteristics. Columns that no
// row fills are left out. Numbers have a decimal comma where one is asked for.
func Write(p *bom.Part, decimalComma bool) [][]string {
	m := point
	if decimalComma {
		m = comma
	}
	lines := m.linesOf(p)
	used := map[string]bool{}
	for _, name := range always {
		used[name] = true
	}
	for _, l := range lines {
		for name := range l.cells {
			used[name] = true
		}
	}
	var heads []string
	for _, c := range columns {
		if used[c.Name] {
			heads = append(heads, c.Name)
		}
	}
	out := [][]string{heads}
	for _, l := range lines {
		row := make([]string, len(heads))
		for i, name := range heads {
			row[i] = l.cells[name]
		}
		out = append(out, row)
	}
	return out
}

// line is a row: what it describes, and its cells by the name of the column.
type line struct {
	name  string
	cells map[string]string
}

func (m mark) linesOf(p *bom.Part) []line {
	var out []line
	for i := range p.Routing {
		op := &p.Routing[i]
		number := fmt.Sprint(op.Number)
		out = append(out, m.lineOf("operation "+number, OperationRow, reflect.ValueOf(*op), number, ""))
		for _, f := range op.Features {
			out = append(out, m.lineOf("operation "+number+", feature "+string(f.ID), FeatureRow, reflect.ValueOf(f), number, string(f.ID)))
		}
		for _, c := range op.Characteristics {
			out = append(out, m.lineOf("operation "+number+", characteristic "+c.Name, CharacteristicRow, reflect.ValueOf(c), number, c.Name))
		}
	}
	return out
}

func (m mark) lineOf(name string, kind RowKind, record reflect.Value, number, own string) line {
	l := line{name, map[string]string{operationColumn: number}}
	if own != "" {
		l.cells[nameColumns[kind]] = own
	}
	for column, f := range fieldsOf[kind] {
		if cell := m.textOf(record, f.way); cell != "" {
			l.cells[column] = cell
		}
	}
	return l
}

// textOf writes a field of a record, or of a record within it.
func (m mark) textOf(record reflect.Value, way []int) string {
	v := record.Field(way[0])
	if len(way) == 1 {
		return m.cellText(v)
	}
	if v.IsNil() {
		return ""
	}
	return m.cellText(v.Elem().Field(way[1]))
}

// Difference is a row that a table adds, changes or takes away.
type Difference struct {
	Name   string
	Fields []FieldChange // of a row that changes, in the order of the columns
}

// FieldChange is a cell before and after; empty where there is nothing.
type FieldChange struct{ Column, Before, After string }

// Differences are what one state of a part's operations has that another has not.
type Differences struct {
	Added, Changed, Removed []Difference
	Same                    int
}

// Between compares the operations of two states of a part, row by row.
func Between(before, after *bom.Part) Differences {
	var out Differences
	old, fresh := point.linesOf(before), point.linesOf(after)
	find := func(in []line, name string) int {
		return slices.IndexFunc(in, func(l line) bool { return l.name == name })
	}
	for _, l := range fresh {
		at := find(old, l.name)
		if at < 0 {
			out.Added = append(out.Added, Difference{l.name, changes(nil, l.cells)})
			continue
		}
		if d := changes(old[at].cells, l.cells); len(d) > 0 {
			out.Changed = append(out.Changed, Difference{l.name, d})
		} else {
			out.Same++
		}
	}
	for _, l := range old {
		if find(fresh, l.name) < 0 {
			out.Removed = append(out.Removed, Difference{Name: l.name})
		}
	}
	return out
}

func changes(before, after map[string]string) []FieldChange {
	var out []FieldChange
	for _, c := range columns {
		if before[c.Name] != after[c.Name] && !slices.Contains(nameColumns[:], c.Name) {
			out = append(out, FieldChange{c.Name, before[c.Name], after[c.Name]})
		}
	}
	return out
}
