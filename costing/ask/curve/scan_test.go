package curve

import (
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/book/booktest"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
)

// TestStatesAreExact compares the state of every step of the demo trims, at every
// quantity, with the exact evaluator.
func TestStatesAreExact(t *testing.T) {
	t.Parallel()
	b := booktest.Demo(t)
	for _, trim := range b.Products[0].Trims {
		est, err := estimate.Build(b, estimate.NewMix("LAMP", decimal.New(100, 0), trim.ID), "2026-11-25")
		if err != nil {
			t.Fatal(err)
		}
		v := est.Variants[0]
		m, err := newModel(est.Graph, Request{Figure: v.Prices[0].Shelf, Full: v.Full, Quantity: v.Quantity, From: 240, To: 420})
		if err != nil {
			t.Fatal(err)
		}
		s, err := m.scan(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		if len(m.steps) < 80 {
			t.Errorf("%s has only %d steps", trim.ID, len(m.steps))
		}
		for i := range s.n {
			checkStates(t, s, i)
		}
	}
}

func checkStates(t *testing.T, s *scan, i int) {
	t.Helper()
	v, err := s.m.at(s.quantity(i))
	if err != nil {
		t.Fatal(err)
	}
	for k := range s.m.steps {
		st := &s.m.steps[k]
		want, got := st.exactState(v), s.states[k][i]
		same := want == got
		if st.sets {
			same = want&(1<<got) != 0
		}
		if !same {
			t.Errorf("%s at %d is in state %d, exactly %d", s.m.g.Node(st.node).Key, s.quantity(i), got, want)
		}
	}
}

func TestRelabel(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ sets, want []state }{
		{[]state{1, 1, 3, 2, 2}, []state{0, 0, 0, 1, 1}},     // a tie stays with what was
		{[]state{3, 3, 2}, []state{1, 1, 1}},                 // a tie in the beginning belongs to what comes
		{[]state{3, 1, 3, 1}, []state{0, 0, 0, 0}},           // a touch is none
		{[]state{1, 2, 1}, []state{0, 1, 0}},                 //
		{[]state{7, 6, 5, 4}, []state{2, 2, 2, 2}},           // the one that lasts
		{[]state{0, 0, 4}, []state{undefined, undefined, 2}}, // nothing taken while undefined
	} {
		got := slices.Clone(c.sets)
		if relabel(got); !slices.Equal(got, c.want) {
			t.Errorf("%v became %v, want %v", c.sets, got, c.want)
		}
	}
}

func TestDoubt(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		a, b float64
		want bool
	}{
		{5, 5, false}, {12.34, 12.34, false}, {100, 101, false}, {1e8, 1e8 + 2e-8, true}, {1e-9 / 2, 0, true},
		{3.0000000005, 3, true}, {3.0000000002, 3, false}, {1234.5678901235, 1234.5678901235, true},
	} {
		if got := doubtfulOrder(c.a, c.b); got != c.want {
			t.Errorf("order of %v and %v is in doubt: %t", c.a, c.b, got)
		}
	}
	for _, c := range []struct {
		op      graph.Op
		x, step float64
		want    bool
	}{
		{graph.Ceiling, 130, 65, false}, {graph.Ceiling, 2.0000000005, 1, true}, {graph.Floor, 1.9999999995, 1, true},
		{graph.Ceiling, 2.4, 1, false}, {graph.Round, 2.5, 1, false}, {graph.Round, 2.4999999995, 1, true}, {graph.Ceiling, 1e6, 1, true},
	} {
		if got := doubtfulStep(c.op, c.x, c.step); got != c.want {
			t.Errorf("%s of %v by %v is in doubt: %t", c.op, c.x, c.step, got)
		}
	}
}
