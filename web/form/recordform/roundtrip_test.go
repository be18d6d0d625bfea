package recordform_test

import (
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/record"
	"kerfbook/costing/text"
	"kerfbook/testdata"
	"kerfbook/web/form/recordform"
	"kerfbook/web/notation"
)

// Every field of every kind goes from the record to the form, to its text, to the form,
// through the JSON that programs read, and is the same text again.
func TestEveryFieldComesBack(t *testing.T) {
	t.Parallel()
	for _, k := range record.Kinds() {
		full := reflect.New(k.Type).Elem()
		fill(full, "")
		comesBack(t, k, full)
	}
}

// So does every record of the demo.
func TestTheDemoComesBack(t *testing.T) {
	t.Parallel()
	b, _, err := book.Parse(testdata.Demo)
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range record.Kinds() {
		for _, r := range record.All(b, k) {
			comesBack(t, k, r.Value)
		}
	}
}

func comesBack(t *testing.T, k record.Kind, value reflect.Value) {
	t.Helper()
	want, err := k.Write(value)
	if err != nil {
		t.Fatalf("%s: %v", k.Name, err)
	}
	for _, as := range []notation.Style{{}, {Comma: true, Days: notation.Slashes}} {
		comesBackAs(t, k, value, string(want), as)
	}
}

func comesBackAs(t *testing.T, k record.Kind, value reflect.Value, want string, as notation.Style) {
	t.Helper()
	typed := recordform.Of(value, as)
	read, faults := typed.Read(k, as)
	if len(faults) > 0 {
		t.Fatalf("%s: %v\n%s", k.Name, faults, typed.Text(k, as))
	}
	if got := typed.Text(k, as); got != want {
		t.Fatalf("%s: the form is the text\n%s\nnot\n%s", k.Name, got, want)
	}
	again, _, err := k.Read([]byte(typed.Text(k, as)))
	if err != nil || !maps.Equal(recordform.Of(again, as), typed) {
		t.Fatalf("%s: the text is another form: %v\n%v\nnot\n%v", k.Name, err, recordform.Of(again, as), typed)
	}
	sent, _, err := k.Read(record.JSON(read))
	if err != nil {
		t.Fatalf("%s: %v", k.Name, err)
	}
	if got, err := k.Write(sent); err != nil || string(got) != want {
		t.Errorf("%s: programs send\n%s\nnot\n%s", k.Name, got, want)
	}
}

// fill puts something into every field, two entries into every list.
func fill(v reflect.Value, tag string) {
	switch x := v.Interface().(type) {
	case bom.Number:
		v.Set(reflect.ValueOf(fits(tag)))
		return
	case bom.ID:
		v.SetString("A-1")
		return
	case bom.Date:
		v.SetString("2026-11-25")
		return
	case text.Words:
		v.SetString(x.Values()[len(x.Values())-1])
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		fill(v.Elem(), tag)
	case reflect.Struct:
		for i := range v.NumField() {
			if tag := v.Type().Field(i).Tag.Get("book"); tag != "" {
				fill(v.Field(i), tag)
			}
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 2, 2))
		fill(v.Index(0), tag)
		fill(v.Index(1), tag)
	case reflect.Map:
		entry := reflect.New(v.Type().Elem()).Elem()
		fill(entry, tag)
		v.Set(reflect.MakeMap(v.Type()))
		v.SetMapIndex(reflect.ValueOf(bom.ID("1.5")), entry)
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Int:
		v.SetInt(fits(tag).Likely.IntPart())
	default:
		v.SetString(map[string]string{"Country": "NO", "Code": "EUR", "TimeZone": "Europe/Lisbon", "FigureKey": "variant/plain/each/full", "CostBasis": "likely"}[v.Type().Name()])
		if v.String() == "" {
			v.SetString("no, \"1e3\": it is")
		}
	}
}

// fits is a number within the bounds of a tag, a range where it may be one.
func fits(tag string) bom.Number {
	options := strings.Split(tag, ",")
	for _, likely := range []string{"1", "0.6", "0.4", "3000"} {
		d := decimal.RequireFromString(likely)
		if !slices.ContainsFunc(options, func(o string) bool { return breaks(d, o) }) {
			if slices.Contains(options, "whole") || slices.Contains(options, "single") {
				return bom.Exactly(d)
			}
			return bom.Number{Low: d, Likely: d, High: d, IsRange: true, Shape: bom.Normal, SD: d}
		}
	}
	panic("no number fits " + tag)
}

func breaks(d decimal.Decimal, option string) bool {
	name, bound, ok := strings.Cut(option, "=")
	if !ok || name == "was" {
		return false
	}
	limit := decimal.RequireFromString(bound)
	return map[string]bool{"min": d.LessThan(limit), "over": !d.GreaterThan(limit), "max": d.GreaterThan(limit), "under": !d.LessThan(limit)}[name]
}
