package exact_test

import (
	"maps"
	"math/rand/v2"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/graphtest"
)

// TestLiveIsAnEvaluation pins figures of random graphs, takes them for one they rest on
// and releases them, one after another: figures are at every moment those of one
// evaluation with these pins, in a copy those of the moment it was taken.
func TestLiveIsAnEvaluation(t *testing.T) {
	t.Parallel()
	compared := 0
	for seed := range uint64(300) {
		rnd := rand.New(rand.NewPCG(seed, 7))
		g := graphtest.Random(seed, 150)
		e, pins, taken := exact.New(g), exact.Pins{}, map[graph.ID]graph.ID{}
		live, err := e.Live(pins)
		if err != nil {
			t.Fatal(err)
		}
		for range 40 {
			id := graph.ID(rnd.IntN(g.Len()))
			delete(pins, id)
			delete(taken, id)
			switch args := g.Args(id); {
			case rnd.IntN(3) == 0:
				live.Release(id)
			case rnd.IntN(2) == 0 && len(args) > 0:
				taken[id] = args[0]
				live.Take(id, args[0])
			default:
				pins[id] = decimal.New(rnd.Int64N(2000), -2)
				live.Pin(id, pins[id])
			}
			want, ok := settled(e, pins, taken)
			if !ok {
				break // a figure is out of range, which who does not ask for it does not meet
			}
			of := live
			if rnd.IntN(4) == 0 {
				of = live.Copy()
			}
			for range 30 {
				id := graph.ID(rnd.IntN(g.Len()))
				got, ok := of.Raw(id)
				compared++
				if v, there := want.Raw(id); ok != there || !got.Equal(v) {
					t.Fatalf("seed %d: %s is %s, %t; evaluated %s, %t", seed, g.Key(id), got, ok, v, there)
				}
			}
		}
	}
	if compared < 10_000 {
		t.Errorf("only %d figures compared", compared)
	}
}

// settled pins what is taken from another figure at the value of that one until nothing
// changes; it is false where there is an error or no such value.
func settled(e *exact.Evaluator, pins exact.Pins, taken map[graph.ID]graph.ID) (v *exact.Values, ok bool) {
	all := maps.Clone(pins)
	for range len(taken) + 1 {
		var err error
		if v, err = e.Evaluate(all); err != nil {
			return nil, false
		}
		for id, from := range taken {
			if all[id], ok = v.Raw(from); !ok {
				return nil, false
			}
		}
	}
	return v, true
}
