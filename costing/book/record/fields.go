package record

import (
	"reflect"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/text"
)

// There stands in the place of a record or an entry that is there and says nothing.
const There = "{}"

// Fields gives what a record says by places in it, such as
// routing[2].features[0].depth_mm, with numbers as digits writes them. A range has its
// likely value at the place of the number and low, high, shape and sd below it.
func Fields(value reflect.Value, digits func(decimal.Decimal) string) map[string]string {
	f := filler{map[string]string{}, digits}
	f.inner("", value)
	return f.to
}

// filler goes through a record.
type filler struct {
	to     map[string]string
	digits func(decimal.Decimal) string
}

func (f filler) inner(place string, v reflect.Value) {
	before := len(f.to)
	members, _ := text.Members(v.Type()) // a type of the book has its text form
	for _, m := range members {
		f.put(text.Field(place, m.Name), m, v.FieldByIndex(m.At))
	}
	if len(f.to) == before && place != "" {
		f.to[place] = There
	}
}

func (f filler) put(place string, m text.Member, v reflect.Value) {
	if v = reflect.Indirect(v); !v.IsValid() {
		return
	}
	switch {
	case m.Shape == text.ShapeRecord:
		f.inner(place, v)
	case m.Shape == text.ShapeTable:
		f.table(place, m.Value(), v)
	case m.Nested():
		for i := range v.Len() {
			if at := text.Index(place, i); m.Entry == text.ShapeRecord {
				f.inner(at, v.Index(i))
			} else if f.table(at, m.Value(), v.Index(i)); v.Index(i).Len() == 0 {
				f.to[at] = There // it holds always
			}
		}
	case v.Type() == numberType:
		f.number(place, v.Interface().(bom.Number))
	case !v.IsZero():
		f.to[place] = scalar(m, v)
	}
}

func (f filler) table(place string, m text.Member, v reflect.Value) {
	for _, key := range v.MapKeys() {
		f.to[text.Key(place, key.String())] = scalar(m, v.MapIndex(key))
	}
}

func (f filler) number(place string, n bom.Number) {
	if n.Missing {
		return
	}
	f.to[place] = f.digits(n.Likely)
	if !n.IsRange {
		return
	}
	f.to[place+".low"], f.to[place+".high"] = f.digits(n.Low), f.digits(n.High)
	if n.Shape != bom.Triangular {
		f.to[place+".shape"] = n.Shape.String()
	}
	if n.Shape == bom.Normal {
		f.to[place+".sd"] = f.digits(n.SD)
	}
}

// scalar writes a value, or a list of them, as it is typed.
func scalar(m text.Member, v reflect.Value) string {
	if !m.Prose() {
		return Text(v, "")
	}
	return strings.Join(v.Interface().([]string), "\n")
}
