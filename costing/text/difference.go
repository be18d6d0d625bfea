package text

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
)

// FieldDifference is a place at which two values say something else, with the text of both;
// empty where one says nothing there.
type FieldDifference struct {
	Path   string `json:"path"`
	Before string `json:"before,omitempty"`
	After  string `json:"after,omitempty"`
}

// Differences lists those of two structs of one type, in the order of the text. Entries of
// lists are held against one another by id, as [Revise] does, and named by it.
func Differences(before, after any) ([]FieldDifference, error) {
	s, err := schemaOf(reflect.TypeOf(before))
	if err != nil {
		return nil, err
	}
	d := differ{found: []FieldDifference{}} // a list of none is no null
	d.value("", s, reflect.ValueOf(before), reflect.ValueOf(after))
	return d.found, nil
}

type differ struct{ found []FieldDifference }

// add notes a difference; a value that is not there is the zero one.
func (d *differ) add(path string, s *schema, before, after reflect.Value) {
	said := func(v reflect.Value) string {
		if !v.IsValid() || IsAbsent(v) {
			return ""
		}
		if plain := reflect.Indirect(v); plain.Kind() == reflect.String {
			return plain.String()
		}
		return (&encoder{}).flow(s, v)
	}
	if b, a := said(before), said(after); b != a {
		d.found = append(d.found, FieldDifference{path, b, a})
	}
}

func (d *differ) value(path string, s *schema, before, after reflect.Value) {
	for s.kind == pointer && !before.IsNil() && !after.IsNil() {
		s, before, after = s.elem, before.Elem(), after.Elem()
	}
	switch {
	case s.kind == ShapeRecord:
		for _, m := range s.fields {
			d.value(Field(path, m.name), m.schema, before.FieldByIndex(m.index), after.FieldByIndex(m.index))
		}
	case s.kind == ShapeTable:
		d.table(path, s, before, after)
	case s.kind == ShapeList && !isScalar(s.elem):
		d.list(path, s, before, after)
	default:
		d.add(path, s, before, after)
	}
}

func (d *differ) table(path string, s *schema, before, after reflect.Value) {
	for _, key := range sortedKeys(before) {
		if is := after.MapIndex(key); is.IsValid() {
			d.value(Key(path, key.String()), s.elem, before.MapIndex(key), is)
		} else {
			d.add(Key(path, key.String()), s.elem, before.MapIndex(key), reflect.Value{})
		}
	}
	for _, key := range sortedKeys(after) {
		if !before.MapIndex(key).IsValid() {
			d.add(Key(path, key.String()), s.elem, reflect.Value{}, after.MapIndex(key))
		}
	}
}

func (d *differ) list(path string, s *schema, before, after reflect.Value) {
	pairs := matched(s.elem, before, after)
	name := func(list reflect.Value, i int) string {
		elem := s.elem
		for elem.kind == pointer {
			elem = elem.elem
		}
		if id, ok := strings.CutPrefix(identity(elem, list.Index(i)), "id "); ok {
			return id
		}
		return fmt.Sprint(i + 1)
	}
	named := func(list reflect.Value, i int) string { return path + "[" + name(list, i) + "]" }
	for i := range before.Len() {
		if !slices.Contains(pairs, i) {
			d.add(named(before, i), s.elem, before.Index(i), reflect.Value{})
		}
	}
	var was, is []string // in another order
	for i, old := range pairs {
		if old < 0 {
			d.add(named(after, i), s.elem, reflect.Value{}, after.Index(i))
			continue
		}
		d.value(named(after, i), s.elem, before.Index(old), after.Index(i))
		is = append(is, name(after, i))
	}
	for _, old := range slices.Sorted(slices.Values(pairs)) {
		if old >= 0 {
			was = append(was, name(after, slices.Index(pairs, old)))
		}
	}
	if !slices.Equal(was, is) {
		d.found = append(d.found, FieldDifference{path, strings.Join(was, ", "), strings.Join(is, ", ")})
	}
}
