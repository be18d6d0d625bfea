package estimate_test

import (
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/booktest"
	"kerfbook/costing/estimate"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/proof"
	"kerfbook/testdata/depth"
)

// TestEveryFigureOfRandomBooks computes every figure of many books a second time from
// the values it is made of, in fractions, and powers and logarithms to some seventy
// digits: what comes out is rounded once, and equal. The books are drawn: mixes, offers,
// stock, outside lots, learning, channels and destinations.
func TestEveryFigureOfRandomBooks(t *testing.T) {
	t.Parallel()
	several := booktest.Read(t, []byte(severalBook))
	figures, books := 0, 0
	for seed := range depth.Seeds(2000) {
		rnd := rand.New(rand.NewPCG(seed, 77))
		b, mix := drawn(several, rnd)
		if seed%20 == 0 { // it has ten times the figures
			b, mix = drawnDemo(t, rnd)
		}
		est, err := estimate.Build(b, mix, demoDay)
		if err != nil {
			continue
		}
		values, err := exact.Evaluate(est.Graph, nil)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		books++
		figures += wantRecomputed(t, seed, est.Graph, values)
	}
	if books < depth.Of(2000)/2 {
		t.Errorf("only %d books were priced", books)
	}
	t.Logf("%d figures of %d books", figures, books)
}

func wantRecomputed(t *testing.T, seed uint64, g *graph.Graph, values *exact.Values) (figures int) {
	t.Helper()
	rats := make([]*big.Rat, g.Len())
	for id := range graph.ID(g.Len()) {
		d, err := values.Get(id)
		if err == nil {
			rats[id] = d.Rat()
		}
		n := g.Node(id)
		if len(n.Args) == 0 {
			continue
		}
		step := proof.Step{Operation: n.Op.String()}
		if n.Op == graph.Choose || n.Op == graph.Check {
			step.Comparison = n.Compare.Symbol()
		}
		step.Bands = n.Axes
		args := make([]*big.Rat, len(n.Args))
		for i, a := range n.Args {
			args[i] = rats[a]
		}
		want, err := ft.Recompute(step, args)
		if err != nil {
			t.Fatal(err)
		}
		figures++
		if want != nil {
			want = ft.Rounded(want)
		}
		if (want == nil) != (rats[id] == nil) || want != nil && want.Cmp(rats[id]) != 0 {
			t.Fatalf("seed %d: %s is %v, recomputed %v", seed, n.Key, rats[id], want)
		}
	}
	return figures
}

// drawnDemo is the demo with other quantities, prices, yields, practice and lots.
func drawnDemo(t *testing.T, rnd *rand.Rand) (*book.Book, []estimate.MixLine) {
	b := demo(t)
	other := func(n *bom.Number) {
		if n != nil && !n.IsRange && !n.Missing && rnd.IntN(3) == 0 {
			*n = bom.Exactly(n.Likely.Mul(decimal.New(50+rnd.Int64N(101), -2)))
		}
	}
	for i := range b.Offers {
		for j := range b.Offers[i].Breaks {
			other(&b.Offers[i].Breaks[j].Price)
		}
	}
	for i := range b.WorkCentres {
		other(b.WorkCentres[i].LabourRatePerH)
	}
	for i := range b.Parts {
		for j := range b.Parts[i].Routing {
			op := &b.Parts[i].Routing[j]
			other(op.SetupMin)
			other(op.PieceMin)
		}
	}
	for i := range b.Products[0].Routing {
		if l := b.Products[0].Routing[i].Learning; l != nil {
			l.Rate = bom.Exactly(decimal.New(70+rnd.Int64N(30), -2))
		}
	}
	var mix []estimate.MixLine
	for _, trim := range b.Products[0].Trims {
		if rnd.IntN(2) == 0 {
			mix = append(mix, estimate.NewMix("LAMP", decimal.New(1+rnd.Int64N(900), 0), trim.ID)...)
		}
	}
	if len(mix) == 0 {
		mix = one("tune")
	}
	return b, mix
}
