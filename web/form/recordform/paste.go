package recordform

import (
	"errors"
	"fmt"
	"reflect"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/book/field"
	"kerfbook/costing/book/record"
	"kerfbook/costing/book/worktable"
	"kerfbook/costing/text"
	"kerfbook/web/notation"
)

// Paste takes a table out of a spreadsheet into a list. Its first line names the columns,
// by the names of the text or the labels of the form. Nothing is taken where something is
// wrong with it, which is told with its line and column.
func (s *Sheet) Paste(k record.Kind, list, written string, as notation.Style) (wrong []string) {
	m, ok := s.listAt(k, list)
	if !ok {
		return []string{"there is no such list"}
	}
	table, err := worktable.Split([]byte(written))
	if err != nil {
		return []string{err.Error()}
	}
	if m.Leaf == reflect.TypeFor[bom.Operation]() && table.Column("operation") >= 0 {
		return s.pasteOperations(list, written, as)
	}
	names, wrong := columnsOf(k, list, m, table.Heads)
	if len(wrong) > 0 {
		return wrong
	}
	next := Sheet{Typed: s.Typed.Order(list, everyEntry(s.Typed.Count(list))), Open: s.Open}
	begin := next.Typed.Count(list)
	for i, row := range table.Rows {
		at := text.Index(list, begin+i)
		next.Typed[at] = ""
		for j, cell := range row.Cells {
			if j >= len(names) {
				return []string{fmt.Sprintf("line %d has %d cells, and there are %d columns", row.Line, len(row.Cells), len(names))}
			}
			next.Typed[text.Field(at, names[j])] = cell
		}
	}
	next.Tidy(k)
	_, faults := next.Typed.Read(k, as)
	for _, f := range faults {
		if i, rest, ok := position(f.Place, list); ok && i >= begin {
			wrong = append(wrong, fmt.Sprintf("line %d, %s: %s", table.Rows[i-begin].Line, strings.TrimPrefix(rest, "."), f.Message))
		}
	}
	if len(wrong) == 0 {
		*s = next
	}
	return wrong
}

func everyEntry(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

// listAt finds what a list holds.
func (s *Sheet) listAt(k record.Kind, list string) (text.Member, bool) {
	way, err := text.Steps(list)
	t := k.Type
	for i, step := range way {
		if step.Index >= 0 {
			continue
		}
		for _, m := range membersOf(t) {
			if m.Name != step.Name {
				continue
			}
			if t = m.Leaf; i == len(way)-1 {
				return m, err == nil && m.Shape == text.ShapeList && m.Entry == text.ShapeRecord
			}
		}
	}
	return text.Member{}, false
}

// columnsOf finds the fields that the columns of a table are about.
func columnsOf(k record.Kind, list string, m text.Member, heads []string) (names, wrong []string) {
	known := map[string]string{}
	var all []string
	for _, of := range membersOf(m.Leaf) {
		if of.Shape == text.ShapeRecord || of.Shape == text.ShapeTable || isList(of) {
			continue
		}
		e, _ := field.Under(k.Name, text.Field(list, of.Name))
		all = append(all, of.Name)
		for _, name := range e.Heads() {
			known[name] = of.Name
		}
	}
	for i, head := range heads {
		name, ok := known[strings.ToLower(head)]
		if !ok {
			hint := "; columns are " + strings.Join(all, ", ")
			if near, found := text.Nearest(head, all); found {
				hint = "; did you mean " + near + "?"
			}
			wrong = append(wrong, fmt.Sprintf("column %d is called %q, which is no field here%s", i+1, bom.Shorten(head), hint))
		}
		names = append(names, name)
	}
	return names, wrong
}

// pasteOperations takes a table of operations with their features and characteristics, as
// the page of a part does.
func (s *Sheet) pasteOperations(list, written string, as notation.Style) (wrong []string) {
	var part bom.Part
	k, _ := record.KindOf("parts")
	if value, faults := (Typed{"routing": ""}).merged("routing", s.Typed, list).Read(k, as); len(faults) == 0 || value.IsValid() {
		part.Routing = value.Interface().(bom.Part).Routing
	}
	part.Number, part.Name, part.Kind = "P", "P", bom.Made
	read, _, err := worktable.Read([]byte(written), part)
	var found *worktable.Errors
	if errors.As(err, &found) {
		for _, e := range found.List {
			wrong = append(wrong, e.Error())
		}
		return wrong
	} else if err != nil {
		return []string{err.Error()}
	}
	s.Typed, s.Open = s.Typed.Order(list, nil), s.Open.Order(list, nil)
	for place, value := range Of(reflect.ValueOf(read), as) {
		if rest, ok := strings.CutPrefix(place, "routing["); ok {
			s.Typed[list+"["+rest] = value
		}
	}
	return nil
}

// merged gives t the entries of a list of another form.
func (t Typed) merged(to string, from Typed, list string) Typed {
	for place, value := range from {
		if rest, ok := strings.CutPrefix(place, list+"["); ok {
			t[to+"["+rest] = value
		}
	}
	return t
}
