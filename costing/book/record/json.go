package record

import (
	"bytes"
	"encoding/json"
	"maps"
	"reflect"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/text"
)

// JSON writes a record, or a whole book, as JSON that reads back as the same record: fields in
// the order of the text form, absent ones left out, decimals as strings so that
// no reader makes floats of them.
func JSON(record reflect.Value) []byte {
	w := jsonWriter{}
	w.value(record)
	return w.out.Bytes()
}

type jsonWriter struct{ out bytes.Buffer }

func (w *jsonWriter) value(v reflect.Value) {
	switch x := v.Interface().(type) {
	case bom.Number:
		w.number(x)
		return
	case decimal.Decimal:
		w.text(text.Digits(x))
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		w.value(v.Elem())
	case reflect.Struct:
		w.fields(v)
	case reflect.Slice:
		w.out.WriteByte('[')
		for i := range v.Len() {
			w.comma(i)
			w.value(v.Index(i))
		}
		w.out.WriteByte(']')
	case reflect.Map:
		w.table(v)
	case reflect.String:
		w.text(v.String())
	default: // bool and integers
		text, err := json.Marshal(v.Interface())
		if err == nil {
			w.out.Write(text)
		}
	}
}

func (w *jsonWriter) number(n bom.Number) {
	if !n.IsRange {
		w.text(text.Digits(n.Likely))
		return
	}
	w.out.WriteString(`{"low":`)
	w.text(text.Digits(n.Low))
	w.out.WriteString(`,"likely":`)
	w.text(text.Digits(n.Likely))
	w.out.WriteString(`,"high":`)
	w.text(text.Digits(n.High))
	if n.Shape != bom.Triangular {
		w.out.WriteString(`,"shape":`)
		w.text(n.Shape.String())
	}
	if n.Shape == bom.Normal {
		w.out.WriteString(`,"sd":`)
		w.text(text.Digits(n.SD))
	}
	w.out.WriteByte('}')
}

// fields writes those fields of a struct that are there.
func (w *jsonWriter) fields(v reflect.Value) {
	w.out.WriteByte('{')
	written := 0
	for i := range v.NumField() {
		name, options, _ := strings.Cut(v.Type().Field(i).Tag.Get("book"), ",")
		required := slices.Contains(strings.Split(options, ","), "required")
		if name == "" || name == "-" || text.IsAbsent(v.Field(i)) && !required || isMissing(v.Field(i)) {
			continue
		}
		w.comma(written)
		w.text(name)
		w.out.WriteByte(':')
		w.value(v.Field(i))
		written++
	}
	w.out.WriteByte('}')
}

// isMissing finds numbers that nobody has entered; 0 would be one.
func isMissing(v reflect.Value) bool {
	n, is := v.Interface().(bom.Number)
	return is && n.Missing
}

func (w *jsonWriter) table(v reflect.Value) {
	byName := map[string]reflect.Value{}
	for _, key := range v.MapKeys() {
		byName[key.String()] = v.MapIndex(key)
	}
	w.out.WriteByte('{')
	for i, name := range slices.Sorted(maps.Keys(byName)) {
		w.comma(i)
		w.text(name)
		w.out.WriteByte(':')
		w.value(byName[name])
	}
	w.out.WriteByte('}')
}

func (w *jsonWriter) comma(i int) {
	if i > 0 {
		w.out.WriteByte(',')
	}
}

// text writes a string. Marshalling one cannot fail.
func (w *jsonWriter) text(s string) {
	encoder := json.NewEncoder(&w.out)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(s); err == nil {
		w.out.Truncate(w.out.Len() - 1) // the line end it adds
	}
}
