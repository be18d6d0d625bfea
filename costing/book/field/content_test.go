package field

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
)

// walkBook gives every field of every struct of the book once.
func walkBook(t *testing.T, each func(in reflect.Type, file string, e Entry)) {
	t.Helper()
	for in, file := range homes() {
		all := All(in)
		if len(all) == 0 {
			t.Errorf("%s: %s is not described", file, in)
		}
		for _, e := range all {
			each(in, file, e)
		}
	}
}

func TestEveryFieldIsDescribed(t *testing.T) {
	t.Parallel()
	seen := map[string]bool{} // file, type and field
	walkBook(t, func(in reflect.Type, file string, e Entry) {
		at := file + ".yaml " + in.String() + " " + e.Name
		seen[at] = true
		whole := e.Shape == text.ShapeRecord || e.Entry == text.ShapeRecord
		switch {
		case e.About == "":
			t.Errorf("%s: the field is not described", at)
		case !strings.HasSuffix(e.About, ".") || strings.Contains(e.About, ". "):
			t.Errorf("%s: %q is not one sentence", at, e.About)
		case e.Example == "" && !whole:
			t.Errorf("%s: there is no example", at)
		case e.Example != "" && whole:
			t.Errorf("%s: an example of a whole record is read by nobody", at)
		case strings.Contains(e.Label, "_"):
			t.Errorf("%s: the label is %q", at, e.Label)
		}
		if written, suffix := e.Unit, unitOf(e.Name); suffix != "" && !strings.HasSuffix(written, suffix) {
			t.Errorf("%s: the unit is written as %q, the name says %q", at, written, suffix)
		}
	})
	for _, file := range slices.Sorted(maps.Keys(sheets)) {
		s, err := sheets[file]()
		if err != nil {
			t.Fatal(err)
		}
		for in, fields := range s.Types {
			for name := range fields {
				if at := file + ".yaml " + in + " " + name; !seen[at] {
					t.Errorf("%s: there is no such field", at)
				}
			}
		}
		for path := range s.Paths {
			if _, ok := Under(file, path); !ok {
				t.Errorf("%s.yaml %s: there is no such place", file, path)
			}
		}
	}
}

func unitOf(name string) string {
	_, unit := Unit(name)
	return strings.TrimPrefix(unit, "money ")
}

// The words of a type are those that the reader takes, each with what it says.
func TestWordsAreThoseTheReaderTakes(t *testing.T) {
	t.Parallel()
	types := map[string]bool{}
	walkBook(t, func(in reflect.Type, _ string, e Entry) {
		if len(e.Words) == 0 {
			return
		}
		types[e.Leaf.String()] = true
		says := sheetOf(wordsFile).Words[e.Leaf.String()]
		for _, w := range e.Words {
			if w.Says == "" {
				t.Errorf("words.yaml: %s does not say what %s is", e.Leaf, w.Value)
			}
		}
		if len(says) > len(e.Words) {
			t.Errorf("words.yaml: %s has words that the reader refuses: %v", e.Leaf, slices.Sorted(maps.Keys(says)))
		}
	})
	for name := range sheetOf(wordsFile).Words {
		if !types[name] {
			t.Errorf("words.yaml: no field takes the words of %s", name)
		}
	}
}

// The reader takes every example, and what an example names is in the demo book.
func TestExamplesAreRead(t *testing.T) {
	t.Parallel()
	demo, _, err := book.Parse(testdata.Demo)
	if err != nil {
		t.Fatal(err)
	}
	check := func(at string, e Entry) {
		if e.Example == "" {
			return
		}
		if v, err := e.Value(); err != nil {
			t.Errorf("%s: the reader refuses the example: %v", at, err)
		} else if n, ok := reflect.Indirect(v).Interface().(bom.Number); ok && (e.below(n.Low) || e.above(n.High)) {
			t.Errorf("%s: the example is out of bounds", at)
		}
		for _, id := range strings.Split(strings.Trim(e.Example, "[]"), ", ") {
			if len(e.Refers) > 0 && e.Shape != text.ShapeTable && !strings.Contains(id, "{") && !named(demo, e.Refers, strings.Trim(id, `"`)) {
				t.Errorf("%s: no record of %v is called %s in the demo", at, e.Refers, id)
			}
		}
	}
	walkBook(t, func(in reflect.Type, file string, e Entry) { check(file+".yaml "+in.String()+" "+e.Name, e) })
	for _, file := range slices.Sorted(maps.Keys(sheets)) {
		for path := range sheetOf(file).Paths {
			e, _ := Under(file, path)
			check(file+".yaml "+path, e)
		}
	}
}

// named finds a record that one of some kinds has under an id; kinds of which the demo
// has none, and lists within records, are taken as they are, if there are such.
func named(demo *book.Book, kinds []string, id string) bool {
	for _, name := range kinds {
		kind, list, within := strings.Cut(name, ".")
		k, ok := record.KindOf(kind)
		if !ok {
			return false
		}
		if within {
			_, ok := Under(kind, list)
			return ok
		}
		if _, found := record.Find(demo, kind, id); found || len(record.All(demo, k)) == 0 {
			return true
		}
	}
	return false
}

func (e Entry) below(d decimal.Decimal) bool {
	return e.Lower != nil && (d.LessThan(e.Lower.Value) || e.Lower.Open && d.Equal(e.Lower.Value))
}

func (e Entry) above(d decimal.Decimal) bool {
	return e.Upper != nil && (d.GreaterThan(e.Upper.Value) || e.Upper.Open && d.Equal(e.Upper.Value))
}
