package text

import (
	"reflect"
	"strings"

	"github.com/shopspring/decimal"
)

// Shape is what a field takes, for those who show, ask or describe it.
type Shape string

// Shapes of fields.
const (
	ShapeText   Shape = "text"
	ShapeWord   Shape = "word" // one of a few
	ShapeID     Shape = "id"
	ShapeDay    Shape = "day"
	ShapeYesNo  Shape = "yes or no"
	ShapeWhole  Shape = "whole number"
	ShapeSingle Shape = "number" // never a range
	ShapeRange  Shape = "number or range"
	ShapeList   Shape = "list"
	ShapeTable  Shape = "table" // of named values; the names are data
	ShapeRecord Shape = "record"
)

// Member is a field of a struct as the reader takes it.
type Member struct {
	Name     string
	Former   string // name that earlier texts have, still read
	Required bool
	Shape    Shape
	Entry    Shape        // of the entries of a list or table
	Type     reflect.Type // of the field
	Leaf     reflect.Type // of one value, behind pointers, lists and tables
	Bounds   string       // in words, such as "more than 0, 1 or less"
	Lower    *Bound       // of a figure, and of low, likely and high of a range
	Upper    *Bound
	At       []int // of the field in the struct, and in one that is embedded
}

// Bound is a figure that a value must not pass; one that is open it must not reach
// either.
type Bound struct {
	Value decimal.Decimal
	Open  bool
}

// Nested says that the entries of a list are records or tables, each with fields of its
// own; other lists are one field.
func (m Member) Nested() bool {
	return m.Shape == ShapeList && (m.Entry == ShapeRecord || m.Entry == ShapeTable)
}

// Prose says that the entries of a list are texts, which may have commas.
func (m Member) Prose() bool { return m.Shape == ShapeList && m.Leaf == reflect.TypeFor[string]() }

// Value is what stands under a name of a table.
func (m Member) Value() Member {
	if m.Shape == ShapeTable && m.Entry != ShapeList {
		return Member{Shape: m.Entry, Leaf: m.Leaf}
	}
	return Member{Shape: ShapeList, Entry: ShapeID, Leaf: m.Leaf}
}

// Members lists the fields of a struct in their order. The list is the same at each call
// and is not to be changed.
func Members(t reflect.Type) ([]Member, error) {
	s, err := schemaOf(t)
	if err != nil {
		return nil, err
	}
	return s.listed(), nil
}

func (s *schema) members() []Member {
	out := make([]Member, len(s.fields))
	for i, f := range s.fields {
		m := Member{Name: f.name, Former: f.former, Required: f.required, Bounds: f.limits.words(), Lower: f.limits.lower, Upper: f.limits.upper, At: f.index, Type: s.typ.FieldByIndex(f.index).Type, Leaf: f.schema.typ}
		m.Shape = f.schema.shape(f.limits)
		for inner := f.schema; inner.elem != nil; inner = inner.elem {
			m.Leaf = inner.elem.typ
			if m.Entry == "" && inner.kind != pointer {
				m.Entry = inner.elem.shape(f.limits)
			}
		}
		out[i] = m
	}
	return out
}

func (s *schema) shape(bounds limits) Shape {
	switch {
	case s.kind == pointer:
		return s.elem.shape(bounds)
	case s.kind == checked:
		return ShapeText
	case s.kind == ShapeRange && bounds.whole:
		return ShapeWhole
	case s.kind == ShapeRange && bounds.single:
		return ShapeSingle
	}
	return s.kind
}

// words says the bounds; empty for none.
func (l limits) words() string {
	var out []string
	if l.lower != nil {
		if l.lower.Open {
			out = append(out, "more than "+l.lower.Value.String())
		} else {
			out = append(out, l.lower.Value.String()+" or more")
		}
	}
	if l.upper != nil {
		if l.upper.Open {
			out = append(out, "less than "+l.upper.Value.String())
		} else {
			out = append(out, l.upper.Value.String()+" or less")
		}
	}
	return strings.Join(out, ", ")
}
