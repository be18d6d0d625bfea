package api

import (
	"reflect"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book"
)

// bookJSON writes the text of a book as JSON: the same names in the same places,
// numbers that a person typed as text with the digits they typed.
func bookJSON(text []byte) ([]byte, error) {
	b, _, err := book.Parse(text)
	if err != nil {
		return nil, err
	}
	return encode(plain(reflect.ValueOf(*b)))
}

// plain turns a value with the tags of books into what the JSON library writes.
func plain(v reflect.Value) any {
	switch value := v.Interface().(type) {
	case decimal.Decimal:
		return digits(value)
	case bom.Number:
		if !value.IsRange {
			return digits(value.Likely)
		}
		return plainRange(value)
	}
	switch v.Kind() {
	case reflect.Pointer:
		return plain(v.Elem())
	case reflect.Slice:
		out := make([]any, v.Len())
		for i := range out {
			out[i] = plain(v.Index(i))
		}
		return out
	case reflect.Map:
		return plainMap(v)
	case reflect.Struct:
		return plainRecord(v)
	}
	return v.Interface()
}

// plainRange leaves out what a bare range means, as the text does.
func plainRange(n bom.Number) members {
	out := members{{"low", digits(n.Low)}, {"likely", digits(n.Likely)}, {"high", digits(n.High)}}
	if n.Shape != bom.Triangular {
		out = append(out, member{"shape", n.Shape.String()})
	}
	if n.Shape == bom.Normal {
		out = append(out, member{"sd", digits(n.SD)})
	}
	return out
}

func plainRecord(v reflect.Value) members {
	out := members{}
	for i := range v.NumField() {
		tag, ok := v.Type().Field(i).Tag.Lookup("book")
		name, options, _ := strings.Cut(tag, ",")
		f := v.Field(i)
		absent := f.IsZero() || (f.Kind() == reflect.Slice || f.Kind() == reflect.Map) && f.Len() == 0
		if !ok || tag == "-" || absent && !slices.Contains(strings.Split(options, ","), "required") {
			continue
		}
		out = append(out, member{name, plain(f)})
	}
	return out
}

func plainMap(v reflect.Value) members {
	out := members{}
	for _, key := range v.MapKeys() {
		out = append(out, member{key.String(), plain(v.MapIndex(key))})
	}
	slices.SortFunc(out, func(a, b member) int { return strings.Compare(a.name, b.name) })
	return out
}

// digits writes a decimal with the places it was typed with.
func digits(d decimal.Decimal) string { return d.StringFixed(max(0, -d.Exponent())) }

// members are the fields of an object in the order they are written.
type members []member

type member struct {
	name  string
	value any
}

// MarshalJSON keeps the order.
func (m members) MarshalJSON() ([]byte, error) {
	out := []byte("{")
	for i, f := range m {
		if i > 0 {
			out = append(out, ',')
		}
		name, err := encode(f.name)
		if err != nil {
			return nil, err
		}
		value, err := encode(f.value)
		if err != nil {
			return nil, err
		}
		out = append(out, name[:len(name)-1]...)
		out = append(out, ':')
		out = append(out, value[:len(value)-1]...)
	}
	return append(out, '}'), nil
}
