package schema

import (
	"encoding/json"
	"maps"
	"path"
	"reflect"
	"slices"
	"strings"

	"github.com/danielgtaylor/huma/v2"
	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/field"
	"kerfbook/costing/book/record"
	"kerfbook/costing/papers/quote"
	"kerfbook/costing/text"
)

// Schemas keeps what is described in the components of the document. Types of the
// package Own and of those below it go by their own names.
type Schemas struct {
	huma.Registry
	Own   string
	named map[string]reflect.Type // of what is read
}

// New describes into components.
func New(components huma.Registry, own string) Schemas {
	return Schemas{components, own, map[string]reflect.Type{}}
}

// decimalPattern is plain notation, as numbers are read and written.
const decimalPattern = `^-?(0|[1-9][0-9]*)(\.[0-9]+)?$`

// Wire describes what is written.
func (s Schemas) Wire(t reflect.Type) *huma.Schema {
	return s.Schema(t, true, "")
}

// quotes is the package of what belongs to a quote.
var quotes = reflect.TypeFor[quote.Document]().PkgPath()

// NameOf names a type in the components. What belongs to a quote is told apart
// from what is called the same elsewhere.
func NameOf(t reflect.Type, hint string) string {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	name := huma.DefaultSchemaNamer(t, hint)
	if t.PkgPath() == quotes {
		return "Quoted" + name
	}
	return name
}

// Read describes what the strict reader takes for a type. Records of the book are
// named in the components with the prefix Book, apart from what is answered.
func (s Schemas) Read(t reflect.Type) *huma.Schema {
	switch t {
	case reflect.TypeFor[decimal.Decimal]():
		return &huma.Schema{Type: huma.TypeString, Format: "decimal", Pattern: decimalPattern}
	case reflect.TypeFor[bom.Number]():
		return s.number()
	case reflect.TypeFor[bom.Date]():
		return &huma.Schema{Type: huma.TypeString, Format: "date"}
	}
	switch t.Kind() {
	case reflect.Pointer:
		return s.Read(t.Elem())
	case reflect.Slice:
		return &huma.Schema{Type: huma.TypeArray, Items: s.Read(t.Elem())}
	case reflect.Map:
		return &huma.Schema{Type: huma.TypeObject, AdditionalProperties: s.Read(t.Elem())}
	case reflect.Struct:
		return s.structure(t)
	case reflect.Bool:
		return &huma.Schema{Type: huma.TypeBoolean}
	case reflect.Int, reflect.Int32, reflect.Int64:
		return &huma.Schema{Type: huma.TypeInteger}
	}
	return textSchema(t)
}

// textSchema describes a kind of string, with its words if it has some.
func textSchema(t reflect.Type) *huma.Schema {
	out := &huma.Schema{Type: huma.TypeString}
	if words, ok := reflect.Zero(t).Interface().(text.Words); ok {
		for _, w := range words.Values() {
			out.Enum = append(out.Enum, w)
		}
	}
	return out
}

// number describes one figure, or a range of three.
func (s Schemas) number() *huma.Schema {
	const name = "BookNumber"
	if s.Map()[name] == nil {
		figure := s.Read(reflect.TypeFor[decimal.Decimal]())
		s.Map()[name] = &huma.Schema{
			Description: "One figure, or a range of low, likely and high with the shape in which values are spread between them",
			OneOf:       []*huma.Schema{figure, rangeOf(figure)},
		}
	}
	return &huma.Schema{Ref: "#/components/schemas/" + name}
}

// rangeOf describes a range of figures.
func rangeOf(figure *huma.Schema) *huma.Schema {
	shape := &huma.Schema{Type: huma.TypeString, Description: "How the values are spread; triangular where left out"}
	for _, name := range bom.ShapeNames() {
		shape.Enum = append(shape.Enum, name)
	}
	sd := *figure
	sd.Description = "Standard deviation before the curve is cut off at low and high: given for shape normal and for no other"
	return Object(map[string]*huma.Schema{"low": figure, "likely": figure, "high": figure, "shape": shape, "sd": &sd}, "shape", "sd")
}

// structure describes a struct by its tags, under a name of its own.
func (s Schemas) structure(t reflect.Type) *huma.Schema {
	name := "Book" + t.Name()
	if t.Name() == "Book" || t == reflect.TypeFor[record.Shop]() || strings.HasPrefix(t.PkgPath(), s.Own) {
		name = t.Name()
	}
	if t.PkgPath() == quotes {
		name = "Quote" + t.Name()
	}
	if other := s.named[name]; other != nil && other != t {
		name = "Book" + title(path.Base(t.PkgPath())) + t.Name()
	}
	s.named[name] = t
	ref := &huma.Schema{Ref: "#/components/schemas/" + name}
	if s.Map()[name] != nil {
		return ref
	}
	out := &huma.Schema{Type: huma.TypeObject, Properties: map[string]*huma.Schema{}, AdditionalProperties: false}
	s.Map()[name] = out           // before its fields, which may hold the type again
	members, _ := text.Members(t) // of a type that the reader knows
	for _, m := range members {
		out.Properties[m.Name] = describe(s.Read(m.Type), t, m)
		if m.Required {
			out.Required = append(out.Required, m.Name)
		}
	}
	return ref
}

// describe says what a field of a struct is and takes, with an example. Bounds are words,
// since those in the document's own terms would only hold for JSON numbers.
func describe(s *huma.Schema, in reflect.Type, m text.Member) *huma.Schema {
	e, known := field.Of(in, m.Name)
	if in == reflect.TypeFor[book.Book]() {
		if k, ok := field.KindOf(m.Name); ok {
			return about(s, k.About)
		}
		e, known = field.Under(record.ShopKind, m.Name)
	}
	if !known {
		return about(s, m.Bounds)
	}
	words := e.About
	switch {
	case len(e.Words) > 0:
		var each []string
		for _, w := range e.Words {
			each = append(each, w.Value+" ("+w.Says+")")
		}
		words += " One of " + strings.Join(each, ", ") + "."
	case e.Bounds != "" || e.Unit != "" || len(e.Refers) > 0:
		words += " Takes " + e.Takes() + "."
	}
	out := about(s, words)
	if v, err := e.Value(); err == nil && e.Example != "" {
		var example any
		if json.Unmarshal(record.JSON(v), &example) == nil {
			out.Examples = []any{example}
		}
	}
	return out
}

// about describes a schema in words. Nothing may stand beside a reference in older readers.
func about(s *huma.Schema, words string) *huma.Schema {
	switch {
	case words == "":
		return s
	case s.Ref != "":
		return &huma.Schema{Description: words, AllOf: []*huma.Schema{s}}
	}
	s.Description = words
	return s
}

// title begins a word with a capital.
func title(word string) string { return strings.ToUpper(word[:1]) + word[1:] }

// Object describes an object of the given fields, all of them present but the
// optional ones.
func Object(fields map[string]*huma.Schema, optional ...string) *huma.Schema {
	out := &huma.Schema{Type: huma.TypeObject, Properties: fields, AdditionalProperties: false}
	for _, name := range slices.Sorted(maps.Keys(fields)) {
		if !slices.Contains(optional, name) {
			out.Required = append(out.Required, name)
		}
	}
	return out
}
