package estimate_test

import (
	"bytes"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/book/booktest"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/workbook"
	"kerfbook/costing/papers/costbook"
	"kerfbook/costing/papers/recalctest"
	"kerfbook/testdata/depth"
)

// TestWorkbooksOfRandomBooksFollowEdits types 200 changed inputs, one after the other,
// into the open workbook of a drawn book: each number is one cell, and the cells of the
// variants and destinations are what the engine gives.
func TestWorkbooksOfRandomBooksFollowEdits(t *testing.T) {
	t.Parallel()
	several := booktest.Read(t, []byte(severalBook))
	for seed := range depth.Seeds(20) {
		rnd := rand.New(rand.NewPCG(seed, 78))
		b, mix := drawn(several, rnd)
		if seed%5 == 4 {
			b, mix = drawnDemo(t, rnd)
		}
		est, err := estimate.Build(b, mix, demoDay)
		if err != nil {
			continue
		}
		w := newOpenBook(t, est)
		for i, cells := range recalctest.Live(t, w.file, w.edits(rnd, depth.Of(200))) {
			w.compare(t, seed, i, cells)
		}
	}
}

// openBook is a workbook that numbers are typed into, and what the engine gives then.
type openBook struct {
	t      *testing.T
	g      *graph.Graph
	file   []byte
	names  map[graph.ID]string
	read   map[string]graph.ID
	values []*exact.Values // by step
}

func newOpenBook(t *testing.T, est *estimate.Estimate) *openBook {
	t.Helper()
	w := &openBook{t: t, g: est.Graph, names: map[graph.ID]string{}, read: map[string]graph.ID{}}
	values, err := exact.Evaluate(w.g, nil)
	if err != nil {
		t.Fatal(err)
	}
	model, err := workbook.Build(w.g, values)
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := costbook.Write(&out, model, costbook.Meta{Title: "cost", Author: "test", Day: demoDay}); err != nil {
		t.Fatal(err)
	}
	w.file = out.Bytes()
	for _, sheet := range model.Sheets {
		for _, r := range sheet.Rows {
			if r.ID == graph.None || r.Name == "" {
				continue
			}
			w.names[r.ID] = r.Name
			if strings.HasPrefix(r.Key, "variant/") || strings.HasPrefix(r.Key, "destination/") {
				w.read[r.Name] = r.ID
			}
		}
	}
	return w
}

// edits are random inputs made a little larger or smaller, which stay so.
func (w *openBook) edits(rnd *rand.Rand, count int) []recalctest.Step {
	pins := exact.Pins{}
	var inputs []graph.ID
	for id := range graph.ID(w.g.Len()) {
		switch n := w.g.Node(id); {
		case n.Op == graph.Decided:
			pins[id] = n.Value // as the locked cell holds it
		case n.Kind == graph.Input:
			inputs = append(inputs, id)
		}
	}
	e := exact.New(w.g)
	var names []string
	for name := range w.read {
		names = append(names, name)
	}
	var steps []recalctest.Step
	for len(steps) < count {
		id := inputs[rnd.IntN(len(inputs))]
		before, pinned := pins[id]
		changed := w.g.Value(id).Mul(decimal.New(93+2*rnd.Int64N(8), -2))
		pins[id] = changed
		values, err := e.Evaluate(pins)
		if err != nil { // out of range
			if pins[id] = before; !pinned {
				delete(pins, id)
			}
			continue
		}
		w.values = append(w.values, values)
		steps = append(steps, recalctest.Step{Set: map[string]string{w.names[id]: changed.String()}, Get: names})
	}
	return steps
}

func (w *openBook) compare(t *testing.T, seed uint64, step int, cells map[string]string) {
	t.Helper()
	if len(cells) < 50 {
		t.Fatalf("seed %d, edit %d: only %d cells were read", seed, step, len(cells))
	}
	for name, text := range cells {
		id := w.read[name]
		want, ok := w.values[step].Raw(id)
		switch {
		case !ok && !recalctest.IsError(text):
			t.Errorf("seed %d, edit %d: %s is %s and has no value", seed, step, w.g.Key(id), text)
		case ok:
			if err := recalctest.Agrees(text, want); err != nil {
				t.Fatalf("seed %d, edit %d: %s: %v", seed, step, w.g.Key(id), err)
			}
		}
	}
}
