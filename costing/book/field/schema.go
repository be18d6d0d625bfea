package field

import (
	"encoding/json"
	"maps"
	"reflect"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/record"
	"kerfbook/costing/money"
	"kerfbook/costing/text"
)

// node is a part of a JSON Schema.
type node map[string]any

// schemaWriter describes what occurs often once, and refers to it.
type schemaWriter struct{ definitions node }

// shared refers to what is described under a name.
func (w schemaWriter) shared(name string, describe func() node) node {
	name = strings.NewReplacer(" ", "_", ",", "").Replace(name)
	if w.definitions[name] == nil {
		w.definitions[name] = describe()
	}
	return node{"$ref": "#/definitions/" + name}
}

func enum(words []string) func() node { return func() node { return node{"enum": words} } }

// Schema describes the text form to editors, as a JSON Schema of draft 7, which those
// for YAML read: of a whole book, or of one record where a kind is named. It accepts
// what the reader accepts; of what the reader refuses it cannot see faults between
// fields, and how a figure is written.
func Schema(kind string) ([]byte, bool) {
	w := schemaWriter{node{}}
	var out node
	if k, ok := record.KindOf(kind); ok {
		out = w.record(k.Name, "", k.Type)
	} else if kind == "" {
		out = w.book()
	} else {
		return nil, false
	}
	out["$schema"], out["definitions"] = "http://json-schema.org/draft-07/schema#", w.definitions
	written, err := json.MarshalIndent(out, "", " ")
	return written, err == nil
}

// book describes a book: what its shop record says, and a list for each kind.
func (w schemaWriter) book() node {
	out := w.record(record.ShopKind, "", reflect.TypeFor[record.Shop]())
	fields := out["properties"].(node)
	fields["kerfbook"] = node{"const": book.Version, "description": "The version of the text form."}
	for _, k := range record.Kinds() {
		about, _ := KindOf(k.Name)
		switch {
		case k.Name == record.ShopKind:
			continue
		case k.Only:
			fields[k.Name] = w.record(k.Name, "", k.Type)
		default:
			fields[k.Name] = node{"type": "array", "items": w.record(k.Name, "", k.Type)}
		}
		fields[k.Name].(node)["description"] = about.About
	}
	members, _ := text.Members(reflect.TypeFor[book.Book]()) // a type of the reader
	out["required"] = requiredOf(members)
	return out
}

// record describes the record at a path in one of a kind.
func (w schemaWriter) record(kind, path string, t reflect.Type) node {
	fields := node{}
	members, _ := text.Members(t) // a type of the reader
	for _, m := range members {
		at := text.Field(path, m.Name)
		e, _ := Under(kind, at)
		takes := w.field(e, kind, at)
		if m.Former != "" {
			former := maps.Clone(takes)
			former["deprecated"], former["description"] = true, "Now called "+m.Name+"."
			fields[m.Former] = former
		}
		fields[m.Name] = takes
	}
	out := node{"type": "object", "properties": fields, "additionalProperties": false}
	if needed := requiredOf(members); len(needed) > 0 {
		out["required"] = needed
	}
	return out
}

// requiredOf lists the fields without which a record is refused; a number may be
// missing and is asked for later.
func requiredOf(members []text.Member) []string {
	var out []string
	for _, m := range members {
		if m.Required && m.Leaf != reflect.TypeFor[bom.Number]() {
			out = append(out, m.Name)
		}
	}
	return out
}

// field describes what the field at a path takes.
func (w schemaWriter) field(e Entry, kind, path string) node {
	out := nest(e.Type, w.one(e, kind, path))
	if e.Required && (e.Shape == text.ShapeList || e.Shape == text.ShapeTable) {
		out["minItems"], out["minProperties"] = 1, 1
	}
	out["title"], out["description"] = e.Label, e.About
	if e.Unit != "" {
		out["title"] = e.Label + ", " + e.Unit
	}
	return out
}

// nest puts what is described for one value into the lists and tables around it.
func nest(t reflect.Type, one node) node {
	switch t.Kind() {
	case reflect.Pointer:
		return nest(t.Elem(), one)
	case reflect.Slice:
		return node{"type": "array", "items": inside(t.Elem(), one)}
	case reflect.Map:
		return node{"type": "object", "propertyNames": node{"pattern": bom.IDPattern}, "additionalProperties": inside(t.Elem(), one)}
	}
	return one
}

// inside is nest for a list within another value, which must not be empty.
func inside(t reflect.Type, one node) node {
	out := nest(t, one)
	if t.Kind() == reflect.Slice {
		out["minItems"] = 1
	}
	return out
}

// one describes a single value of the field.
func (w schemaWriter) one(e Entry, kind, path string) node {
	switch e.Leaf {
	case reflect.TypeFor[bom.Country]():
		return w.shared("country", enum(bom.Countries()))
	case reflect.TypeFor[money.Code]():
		return w.shared("currency", enum(money.Codes()))
	}
	shape := e.Shape
	if shape == text.ShapeList || shape == text.ShapeTable {
		if shape = e.Entry; shape == text.ShapeList {
			shape = text.ShapeID // the conditions of a product are tables of lists of ids
		}
	}
	switch shape {
	case text.ShapeRecord:
		return w.record(kind, path, e.Leaf)
	case text.ShapeWord:
		words := make([]string, len(e.Words))
		for i, word := range e.Words {
			words[i] = word.Value
		}
		return w.shared(e.Leaf.String(), enum(words))
	case text.ShapeID: // a number such as 2026 may be one
		return w.shared("id", func() node { return node{"type": []string{"string", "number"}, "pattern": bom.IDPattern} })
	case text.ShapeDay:
		return w.shared("day", func() node { return node{"type": "string", "pattern": `^[0-9]{4}-[0-9]{2}-[0-9]{2}$`} })
	case text.ShapeYesNo:
		return node{"type": "boolean"}
	case text.ShapeWhole, text.ShapeSingle, text.ShapeRange:
		return w.number(shape, e.Member)
	}
	return w.shared("text", func() node { return node{"type": []string{"string", "number", "boolean"}, "maxLength": text.MaxText} })
}

// number describes a figure, written as a number or, so that nobody makes it a float, as
// text; or a range of such figures.
func (w schemaWriter) number(shape text.Shape, of text.Member) node {
	name := string(shape)
	if of.Bounds != "" {
		name += " " + of.Bounds
	}
	if shape == text.ShapeRange {
		return w.shared(name, func() node {
			figure := w.number(text.ShapeSingle, of)
			return node{"anyOf": []node{figure, w.spread(figure)}}
		})
	}
	return w.shared(name, func() node {
		out := node{"type": []string{"number", "string"}, "pattern": bom.DecimalPattern}
		if shape == text.ShapeWhole {
			out["multipleOf"] = 1
		}
		bound := func(b *text.Bound, closed, open string) {
			if b == nil {
				return
			}
			if b.Open {
				closed = open
			}
			out[closed] = json.Number(b.Value.String())
		}
		bound(of.Lower, "minimum", "exclusiveMinimum")
		bound(of.Upper, "maximum", "exclusiveMaximum")
		return out
	})
}

// spread describes a range of figures.
func (w schemaWriter) spread(figure node) node {
	return node{
		"type": "object", "additionalProperties": false, "required": []string{"low", "likely", "high"},
		"properties": node{"low": figure, "likely": figure, "high": figure, "shape": node{"enum": bom.ShapeNames()},
			"sd": w.number(text.ShapeSingle, text.Member{Bounds: "more than 0", Lower: &text.Bound{Open: true}})},
		"if":   node{"properties": node{"shape": node{"const": "normal"}}, "required": []string{"shape"}},
		"then": node{"required": []string{"sd"}},
		"else": node{"not": node{"required": []string{"sd"}}},
	}
}
