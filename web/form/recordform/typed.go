package recordform

import (
	"maps"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book/record"
	"kerfbook/costing/text"
	"kerfbook/web/notation"
)

// Typed is what stands in the fields of a form, by their places in the record, such as
// routing[2].features[0].depth_mm. A range has its likely value at the place of the
// number and low, high, shape and sd below it. An entry of a list has a field of its own,
// routing[2], so that it is there before anything in it is.
type Typed map[string]string

// there stands in the place of a record or an entry that is there and says nothing.
const there = "{}"

// Of gives the fields of a record, with numbers as a person writes them.
func Of(value reflect.Value, as notation.Style) Typed {
	f := filler{Typed{}, as}
	f.inner("", value)
	return f.to
}

// filler fills a form from a record.
type filler struct {
	to Typed
	as notation.Style
}

func (f filler) inner(place string, v reflect.Value) {
	before := len(f.to)
	for _, m := range membersOf(v.Type()) {
		f.put(text.Field(place, m.Name), m, v.FieldByIndex(m.At))
	}
	if len(f.to) == before && place != "" {
		f.to[place] = there
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
		f.table(place, entryOf(m), v)
	case isList(m):
		for i := range v.Len() {
			if at := text.Index(place, i); m.Entry == text.ShapeRecord {
				f.inner(at, v.Index(i))
			} else if f.table(at, entryOf(m), v.Index(i)); v.Index(i).Len() == 0 {
				f.to[at] = there // it holds always
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

func (f filler) digits(d decimal.Decimal) string { return f.as.Text(text.Digits(d)) }

// scalar writes a value, or a list of them, as it is typed.
func scalar(m text.Member, v reflect.Value) string {
	if m.Shape != text.ShapeList {
		return record.Text(v, "")
	}
	var out []string
	for i := range v.Len() {
		out = append(out, v.Index(i).String())
	}
	if prose(m) {
		return strings.Join(out, "\n")
	}
	return strings.Join(out, ", ")
}

var numberType = reflect.TypeFor[bom.Number]()

func membersOf(t reflect.Type) []text.Member {
	out, _ := text.Members(t) // a type of the book has its text form
	return out
}

// isList says that the entries of a list are records or tables, each with fields of its
// own; other lists are typed in one field.
func isList(m text.Member) bool {
	return m.Shape == text.ShapeList && (m.Entry == text.ShapeRecord || m.Entry == text.ShapeTable)
}

// prose says that the entries of a list are texts, which may have commas.
func prose(m text.Member) bool {
	return m.Shape == text.ShapeList && m.Leaf == reflect.TypeFor[string]()
}

// entryOf is what stands under a name of a table.
func entryOf(m text.Member) text.Member {
	if m.Shape == text.ShapeTable && m.Entry != text.ShapeList {
		return text.Member{Shape: m.Entry, Leaf: m.Leaf}
	}
	return text.Member{Shape: text.ShapeList, Entry: text.ShapeID, Leaf: m.Leaf}
}

// filled are the places at which something is typed, and those above them.
func (t Typed) filled() map[string]bool {
	out := map[string]bool{}
	for at, written := range t {
		if strings.TrimSpace(written) == "" {
			continue
		}
		for end := len(at); end > 0 && !out[at[:end]]; end = strings.LastIndexAny(at[:end], ".[") {
			out[at[:end]] = true
		}
	}
	return out
}

// within says that a place lies below another.
func within(at, place string) bool {
	rest, ok := strings.CutPrefix(at, place)
	return ok && rest != "" && (rest[0] == '.' || rest[0] == '[')
}

// Count says how many entries a list has.
func (t Typed) Count(list string) int {
	count := 0
	for at := range t {
		if i, _, ok := position(at, list); ok {
			count = max(count, i+1)
		}
	}
	return count
}

// mostEntries bounds a list, whatever is sent.
const mostEntries = 5000

// position takes a place in an entry of a list apart.
func position(at, list string) (index int, rest string, ok bool) {
	behind, ok := strings.CutPrefix(at, list+"[")
	if !ok {
		return 0, "", false
	}
	digits, rest, ok := strings.Cut(behind, "]")
	index, err := strconv.Atoi(digits)
	return index, rest, ok && err == nil && index >= 0 && index < mostEntries
}

// Order gives a list the entries of the old one that are named, in that order; one that
// is named twice is copied.
func (t Typed) Order(list string, old []int) Typed {
	out := Typed{}
	for at, written := range t {
		index, rest, ok := position(at, list)
		if !ok {
			out[at] = written
			continue
		}
		for i, from := range old {
			if from == index {
				out[text.Index(list, i)+rest] = written
			}
		}
	}
	return out
}

// keys gives the keys of a table.
func (t Typed) keys(table string) []string {
	found := map[string]bool{}
	for at := range t {
		if !within(at, table) {
			continue
		}
		if way, err := text.Steps(at[len(table):]); err == nil && way[0].Index < 0 {
			found[way[0].Name] = true
		}
	}
	return slices.Sorted(maps.Keys(found))
}
