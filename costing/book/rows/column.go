package rows

import (
	"reflect"
	"slices"
	"strings"

	dictionary "kerfbook/costing/book/field"
	"kerfbook/costing/text"
)

// Column is a value of a record, or of a record within it; a list is one value.
type Column struct {
	dictionary.Entry
	Path string   // in the record, such as hour_rate.price
	Head string   // for people
	way  [][]int  // of fields, from the record on
	near []string // what else it may be called
}

// columnsOf lists the columns of what stands at a place in the records of a kind, in the
// order of the book. A record in the record has one of its own, for where it says nothing.
func columnsOf(kind, at string, t reflect.Type) []Column {
	var out []Column
	members, _ := text.Members(t) // of types that the reader knows
	for _, m := range members {
		e, _ := dictionary.Under(kind, text.Field(at, m.Name))
		c := Column{Entry: e, Path: m.Name, Head: e.Label, way: [][]int{m.At}, near: e.Heads()}
		if e.Unit != "" {
			c.Head += ", " + e.Unit
		}
		out = append(out, c)
		if m.Shape != text.ShapeRecord {
			continue
		}
		for _, inner := range columnsOf(kind, text.Field(at, m.Name), m.Leaf) {
			inner.Path, inner.Head = text.Field(m.Name, inner.Path), e.Label+": "+inner.Head
			inner.way = append([][]int{m.At}, inner.way...)
			out = append(out, inner)
		}
	}
	return out
}

// of gives the value of the column in a record; invalid where there is none.
func (c Column) of(v reflect.Value) reflect.Value {
	for _, at := range c.way {
		if v = reflect.Indirect(v); !v.IsValid() {
			return v
		}
		v = v.FieldByIndex(at)
	}
	return v
}

// headed gives the paths of columns by the heads that people write: their paths and what
// the dictionary calls them, as far as it calls no other so.
func headed(columns []Column) map[string]string {
	out := map[string]string{}
	for _, c := range columns {
		for _, head := range c.near {
			if other, taken := out[head]; taken && other != c.Path {
				out[head] = "" // it may be either
			} else {
				out[head] = c.Path
			}
		}
	}
	for _, c := range columns {
		if !slices.ContainsFunc(columns, func(o Column) bool { return o.Head == c.Head && o.Path != c.Path }) {
			out[strings.ToLower(c.Head)] = c.Path
		}
	}
	for _, c := range columns {
		out[c.Path] = c.Path
	}
	return out
}

// together puts values by their paths together as the text of a record. below is the path
// of a record in the record, with its point.
func together(columns []Column, said map[string]string, below string) string {
	var parts []string
	for _, c := range columns {
		name, own := strings.CutPrefix(c.Path, below)
		if !own || strings.Contains(name, ".") {
			continue
		}
		value := said[c.Path]
		if c.Shape == text.ShapeRecord {
			if inner := together(columns, said, c.Path+"."); inner != "{}" {
				value = inner
			}
		}
		if value != "" {
			parts = append(parts, name+": "+value)
		}
	}
	return "{" + strings.Join(parts, ", ") + "}"
}
