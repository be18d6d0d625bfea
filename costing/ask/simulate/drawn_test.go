package simulate

import (
	"context"
	"math"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/ask/shape"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
	"kerfbook/costing/graph/exact"
)

// drawnGraph is a cost of three ranges with a step in it, and what the average and the
// value not exceeded in 80 of 100 draws add to it.
func drawnGraph(t testing.TB, seed uint64) (g *graph.Graph, cost graph.ID, in []graph.ID, average, most graph.ID) {
	w := write(t)
	in = ids(w.triangle("a", "8", "10", "15"), w.triangle("b", "4", "5", "9"), w.triangle("c", "20", "22", "30"))
	cost = w.Add("cost", "cost", w.Multiply("area", "area", in[0], in[1]), w.Ceiling("steps", "steps", in[2], w.constant("step", "5")))
	average = w.Drawn("average", "the average adds", cost, graph.Draws{Count: 4096, Seed: seed}, "average")
	most = w.Drawn("most", "80 of 100 add", cost, graph.Draws{Count: 4096, Seed: seed, Share: dec("0.8")}, "80 of 100")
	w.Add("rests", "rests on", cost, average)
	return w.done(), cost, in, average, most
}

// pinned are the values that the drawn figures of a graph and their errors get.
func pinned(t testing.TB, g *graph.Graph, hold exact.Pins) exact.Pins {
	t.Helper()
	values, err := Evaluate(context.Background(), exact.New(g), hold)
	if err != nil {
		t.Fatal(err)
	}
	out := exact.Pins{}
	for id := range graph.ID(g.Len()) {
		if v, ok := values.Raw(id); ok && g.Node(id).Op == graph.Decided {
			out[id] = v
		}
	}
	return out
}

// TestDrawnIsTheStatisticOfTheDraws recounts both statistics from columns filled here:
// the same inputs, their cost computed from the numbers themselves.
func TestDrawnIsTheStatisticOfTheDraws(t *testing.T) {
	t.Parallel()
	for seed := range uint64(5) {
		g, cost, in, average, most := drawnGraph(t, seed)
		var all []float64
		for block := range 16 {
			var u [3][256]float64
			for i, id := range in {
				stratified(streamOf(seed, saltDraws, block, keyHash(g.Node(id).Key)), u[i][:])
				shape.Of(g.Node(id)).Sampler().Fill(u[i][:], u[i][:])
			}
			for k := range u[0] {
				all = append(all, u[0][k]*u[1][k]+5*math.Ceil(u[2][k]/5))
			}
		}
		sum := 0.0
		for _, v := range all {
			sum += v
		}
		slices.Sort(all)
		likely := 10.0*5 + 25
		at := 0.8 * float64(len(all)-1)
		low := int(at)
		pins := pinned(t, g, nil)
		for id, want := range map[graph.ID]float64{average: sum/float64(len(all)) - likely, most: all[low] + (at-float64(low))*(all[low+1]-all[low]) - likely} {
			if got := pins[id].InexactFloat64(); math.Abs(got-want) > 2e-9 {
				t.Errorf("seed %d, %s: %v, want %v", seed, g.Node(id).Key, got, want)
			}
			failure, _ := g.Find(g.Node(id).Decision.Drawn.Error)
			if e := pins[failure]; !e.IsPositive() || e.GreaterThan(dec("1")) {
				t.Errorf("%s has a standard error of %s", g.Node(id).Key, e)
			}
		}
		if share := float64(slices.IndexFunc(all, func(v float64) bool { return v > likely+pins[most].InexactFloat64() })) / float64(len(all)); math.Abs(share-0.8) > 0.001 {
			t.Errorf("exceeded in %v of the draws", 1-share)
		}
		_ = cost
	}
}

// TestDrawnUntilPinned: without a pin the figure has no value, in no evaluator; what is
// held does not vary; and without a range, or with all of them held, nothing is added.
func TestDrawnUntilPinned(t *testing.T) {
	t.Parallel()
	g, cost, in, average, _ := drawnGraph(t, 1)
	values, err := exact.Evaluate(g, nil)
	if err != nil {
		t.Fatal(err)
	}
	rests, _ := g.Find("rests")
	if values.Defined(average) || values.Defined(rests) || !values.Defined(cost) {
		t.Error("a figure that was not drawn has a value, or what is drawn has none")
	}
	if _, err := values.Get(rests); err == nil || err.Error() != "rests has no value: what the draws add to cost is not known, as it was not drawn or has no value in some draws" {
		t.Errorf("it says %v", err)
	}
	plan, err := column.New(g, column.Options{Vary: in, Outputs: ids(rests)})
	if err != nil {
		t.Fatal(err)
	}
	c := plan.Columns()
	for i := range in {
		c.In(i)[0] = 9
	}
	if err := c.Run(1); err != nil || !math.IsNaN(c.Out(0)[0]) {
		t.Errorf("draws of it come to %v, %v", c.Out(0)[0], err)
	}
	hold := exact.Pins{in[0]: dec("12"), in[1]: dec("6"), in[2]: dec("21")}
	if pins := pinned(t, g, hold); len(pins) != 4 || !pins[average].IsZero() {
		t.Errorf("without a range the draws add %v", pins)
	}
	delete(hold, in[1])
	if some := pinned(t, g, hold); some[average].Equal(pinned(t, g, nil)[average]) || some[average].IsZero() {
		t.Error("what is held varies")
	}
}

// TestDrawnWithoutValue: a cost that some draws have no value for gives no statistic.
func TestDrawnWithoutValue(t *testing.T) {
	t.Parallel()
	w := write(t)
	root := w.SquareRoot("cost", "cost", w.triangle("a", "-1", "4", "9"))
	none := w.SquareRoot("never", "never", w.constant("b", "-1"))
	sound := w.triangle("c", "1", "2", "9")
	for i, of := range ids(root, none, sound) {
		w.Drawn("d"+string(rune('0'+i)), "drawn", of, graph.Draws{Count: 2560 << i}, "average")
	}
	pins := pinned(t, w.done(), nil)
	if len(pins) != 2 {
		t.Errorf("pinned are %v, want one figure and its error", pins)
	}
	for _, v := range pins {
		if v.GreaterThan(decimal.New(3, 0)) || !v.IsPositive() {
			t.Errorf("the draws add %s", v)
		}
	}
}
