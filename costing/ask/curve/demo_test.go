package curve_test

import (
	"math/big"
	"reflect"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/ask/curve"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/testdata/depth"
)

// TestDemoAgrees compares the curves of all trims of the demo with the exact
// evaluator.
func TestDemoAgrees(t *testing.T) {
	t.Parallel()
	for _, trim := range []bom.ID{"plain", "glow", "tune"} {
		est := demo(t, trim)
		var curves []*curve.Curve
		ids := []graph.ID{est.Variants[0].Full} // and the prices that rest on it
		for _, p := range est.Variants[0].Prices {
			ids = append(ids, p.Shelf)
		}
		for _, id := range ids {
			r := whole(est.Variants[0], 1, 2000)
			r.Figure = id
			curves = append(curves, sweep(t, est.Graph, r))
		}
		e := exact.New(est.Graph)
		for q := int64(1); q <= 2000; q += int64(2000 / depth.Of(2000/13)) {
			v, err := e.Evaluate(exact.Pins{est.Variants[0].Quantity: decimal.New(q, 0)})
			if err != nil {
				t.Fatal(err)
			}
			for f, id := range ids {
				want, err := v.Get(id)
				if err != nil {
					t.Fatal(err)
				}
				if w, got := want.InexactFloat64(), curves[f].Values[q-1]; !close9(max(got, -got), max(w, -w)) || got*w < 0 {
					t.Errorf("%s: %s of %d pieces is %v on the curve, %s exactly", trim, curves[f].Figure.Key, q, got, want)
				}
			}
		}
	}
}

// TestDemoBreaks holds every break of a demo trim against the exact evaluator.
func TestDemoBreaks(t *testing.T) {
	t.Parallel()
	est := demo(t, "tune")
	v := est.Variants[0]
	c := sweep(t, est.Graph, whole(v, 1, 400))
	got := breaks(t, c)
	if len(got) != len(c.Places) || len(got) < 20 {
		t.Fatalf("%d breaks, %d places", len(got), len(c.Places))
	}
	for i, b := range got {
		if b.UpTo != c.Places[i].UpTo || len(b.Causes) == 0 {
			t.Fatalf("break %+v at place %+v", b, c.Places[i])
		}
		sum := new(big.Rat)
		for _, s := range b.Causes {
			sum.Add(sum, s.Effect.Rat())
			checkStep(t, est.Graph, v.Quantity, b.UpTo, s)
		}
		if !near(sum, b.Effect.Rat()) {
			t.Errorf("up to %d: the effects add up to %s, not to %s", b.UpTo, sum.FloatString(6), b.Effect)
		}
		before, _ := c.At(b.UpTo)
		after, _ := c.At(b.From)
		if !before.Equal(b.Before) || !after.Equal(b.After) {
			t.Errorf("up to %d: %v to %v", b.UpTo, b.Before, b.After)
		}
	}

}

// checkStep evaluates a cause in the whole graph at both quantities.
func checkStep(t *testing.T, g *graph.Graph, quantity graph.ID, upTo int64, s curve.Step) {
	t.Helper()
	for at, want := range map[int64]*decimal.Decimal{upTo: s.Was, upTo + 1: s.Is} {
		v, err := exact.Evaluate(g, exact.Pins{quantity: decimal.New(at, 0)})
		if err != nil {
			t.Fatal(err)
		}
		id, _ := g.Find(s.Key)
		if got, err := v.Get(id); err != nil || want == nil || !got.Equal(*want) {
			t.Errorf("%s at %d is %s, not %s (%v)", s.Key, at, got, want, err)
		}
	}
}

// TestDeterministic sweeps twice.
func TestDeterministic(t *testing.T) {
	t.Parallel()
	est := demo(t, "plain", "glow")
	r := whole(est.Variants[0], 50, 400)
	var first []curve.Break
	var runs []curve.Run
	for i := range 3 {
		c := sweep(t, est.Graph, r)
		got, err := c.Breaks(t.Context(), 15)
		if err != nil || len(got) != 15 {
			t.Fatal(len(got), err)
		}
		if i == 0 {
			first, runs = got, c.Runs()
		}
		if !reflect.DeepEqual(first, got) || !reflect.DeepEqual(runs, c.Runs()) {
			t.Error("another sweep, other breaks")
		}
	}
}

// TestLargestBreaks takes breaks by size.
func TestLargestBreaks(t *testing.T) {
	t.Parallel()
	est := demo(t, "plain")
	c := sweep(t, est.Graph, whole(est.Variants[0], 1, 300))
	all := breaks(t, c)
	most, err := c.Breaks(t.Context(), 5)
	if err != nil || len(most) != 5 {
		t.Fatal(err)
	}
	least := most[0].Effect.Abs()
	for _, b := range most {
		least = decimal.Min(least, b.Effect.Abs())
	}
	larger := 0
	for _, b := range all {
		if b.Effect.Abs().GreaterThanOrEqual(least) {
			larger++
		}
	}
	if larger != 5 {
		t.Errorf("%d breaks are as large as the smallest of the five largest", larger)
	}
}

// TestDemoSettles: from there on every doubling that the range has saves less than the
// share, and from one piece less one does not.
func TestDemoSettles(t *testing.T) {
	t.Parallel()
	est := demo(t, "plain")
	for to, found := range map[int64]bool{40: false, 2000: true} {
		c := sweep(t, est.Graph, whole(est.Variants[0], 1, to))
		at, err := c.Settles(0.05)
		if err != nil || (at != nil) != found {
			t.Fatalf("up to %d: %v, %v", to, at, err)
		}
		for q := int64(1); q <= to/2 && found; q++ {
			saves := 1 - c.Values[2*q-1]/c.Values[q-1]
			if q == at.Quantity-1 && saves < 0.05 || q >= at.Quantity && saves >= 0.05 {
				t.Errorf("from %d on, and the doubling of %d saves %.3f", at.Quantity, q, saves)
			}
		}
	}
}
