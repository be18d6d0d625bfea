package estimate

import (
	"reflect"
	"testing"

	"kerfbook/costing/book"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
)

// TestEveryKindHasItsEntry: a kind of cost without a name, or one that looks like
// another, would be a line that nobody can read, without anything failing.
func TestEveryKindHasItsEntry(t *testing.T) {
	t.Parallel()
	keys, labels, lines := map[string]bool{}, map[string]bool{}, map[string]bool{}
	after := "the first kind of cost"
	for _, k := range Kinds() {
		e := kindEntries[k]
		switch {
		case e.key == "" || e.label == "":
			t.Errorf("%s: kindEntries gives it key %q and label %q; it needs both", after, e.key, e.label)
		case keys[e.key] || labels[e.label]:
			t.Errorf("%s: another kind has its key %q or label %q", after, e.key, e.label)
		}
		keys[e.key], labels[e.label] = true, true
		if line := e.operation; line != (operationLine{}) {
			if line.column == "" || line.batch == "" || line.key == "" || line.label == "" || lines[line.batch] || lines[line.key] {
				t.Errorf("%s: its line of an operation is %+v; it needs all four, and keys of its own", after, line)
			}
			lines[line.batch], lines[line.key] = true, true
		}
		after = "the kind of cost after " + e.label
	}
}

// TestWhatIsAbsentIsNone: the zero of a graph.ID is a node, so a figure that was
// forgotten where the book gives none would be charged as that one.
func TestWhatIsAbsentIsNone(t *testing.T) {
	t.Parallel()
	root := graph.NewBuilder(graph.Limits{}).Root()
	first := root.One(graph.Plain)
	b := &book.Book{Currency: "EUR", RateCards: []rates.RateCard{{ID: "card", From: "2026-01-01"}},
		WorkCentres: []rates.WorkCentre{{ID: "BENCH", Name: "bench"}}}
	s, err := newShop(b, "2026-11-25", root)
	if err != nil {
		t.Fatal(err)
	}
	bench := s.centre("BENCH")
	for _, of := range []any{s.overheads, bench, bench.Centre} {
		v := reflect.ValueOf(of)
		for i := range v.NumField() {
			if id := v.Field(i); id.Type() == reflect.TypeFor[graph.ID]() && graph.ID(id.Int()) == first {
				t.Errorf("%T: nothing sets %s, so that it is the first node of the graph and not None", of, v.Type().Field(i).Name)
			}
		}
	}
}
