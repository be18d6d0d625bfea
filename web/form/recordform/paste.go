package recordform

import (
	"errors"
	"reflect"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/book/field"
	"kerfbook/costing/book/record"
	"kerfbook/costing/book/rows"
	"kerfbook/costing/text"
	"kerfbook/web/notation"
)

// Paste takes a table out of a spreadsheet into a list, as a page of tables does. Nothing is
// taken where something is wrong with it, which is told with its line and column.
func (s *Sheet) Paste(k record.Kind, list, written string, as notation.Style) (wrong []string) {
	e, ok := field.Under(k.Name, list)
	if !ok || e.Shape != text.ShapeList || e.Entry != text.ShapeRecord {
		return []string{"there is no such list"}
	}
	table, err := rows.Split([]byte(written))
	if err == nil && e.Leaf == reflect.TypeFor[bom.Operation]() && table.Column("operation") >= 0 {
		return s.pasteOperations(list, written, as)
	}
	entries, err := rows.ReadEntries([]byte(written), k, list)
	if err != nil {
		return faultsIn(err)
	}
	begin := s.Typed.Count(list)
	for i, one := range entries {
		at := text.Index(list, begin+i)
		s.Typed[at] = ""
		for place, value := range Of(one.Value, as) {
			s.Typed[text.Field(at, place)] = value
		}
	}
	s.Tidy(k)
	return nil
}

// faultsIn lists what is wrong with a table.
func faultsIn(err error) (wrong []string) {
	var found *rows.Errors
	if !errors.As(err, &found) {
		return []string{err.Error()}
	}
	for _, e := range found.List {
		wrong = append(wrong, e.Error())
	}
	return wrong
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
	read, _, err := rows.ReadOperations([]byte(written), part)
	if err != nil {
		return faultsIn(err)
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
