package curve_test

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"kerfbook/costing/ask/curve"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/graphtest"
)

// small builds a graph of a quantity; f gives the batch cost.
func small(t testing.TB, f func(s graph.Scope, q graph.ID) graph.ID) (g *graph.Graph, r curve.Request) {
	t.Helper()
	b := graph.NewBuilder(graph.Limits{})
	s := b.Root()
	q := s.Input("quantity", "quantity", graph.Piece, ft.Dec("1"))
	batch := f(s, q)
	each := s.Divide("each", "cost per piece", batch, q)
	g = graphtest.Built(t, b)
	return g, curve.Request{Figure: each, Full: each, Quantity: q, From: 1, To: 200}
}

func sweep(t testing.TB, g *graph.Graph, r curve.Request) *curve.Curve {
	t.Helper()
	c, err := curve.Sweep(t.Context(), g, r)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func breaks(t testing.TB, c *curve.Curve) []curve.Break {
	t.Helper()
	out, err := c.Breaks(t.Context(), len(c.Places))
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func perPiece(s graph.Scope, name, text string) graph.ID {
	return s.Input(name, name, euro.Per(graph.Piece), ft.Dec(text))
}

func pieces(s graph.Scope, name, text string) graph.ID {
	return s.Input(name, name, graph.Piece, ft.Dec(text))
}

// told writes a break down: "100: price, old to new; -25.25".
func told(b curve.Break) string {
	words := func(steps []curve.Step) (out []string) {
		for _, s := range steps {
			change := fmt.Sprintf(" %s to %s", s.Was, s.Is)
			if s.Took != nil {
				change = fmt.Sprintf(", %s to %s", s.Took.Label, s.Takes.Label)
			}
			out = append(out, strings.TrimPrefix(s.Of+": ", ": ")+s.Label+change)
		}
		return out
	}
	return fmt.Sprintf("%d: %s; %s", b.UpTo, strings.Join(append(words(b.Causes), words(b.Follows)...), ", then "), b.Effect.Round(9))
}

// TestBreaksOfSmallGraphs: all that steps, and nothing that only seems to.
func TestBreaksOfSmallGraphs(t *testing.T) {
	t.Parallel()
	// priced has a price up to a hundred pieces, which include the hundredth or not.
	priced := func(closed bool) func(s graph.Scope, q graph.ID) graph.ID {
		return func(s graph.Scope, q graph.ID) graph.ID {
			axis := graph.Axis{X: q, Edges: []graph.ID{pieces(s, "edge", "100")}, Bands: graph.Bands{BelowClosed: []bool{closed}}}
			return s.Multiply("batch", "batch", q, s.Band("price", "price", axis, perPiece(s, "old", "3"), perPiece(s, "new", "2.75")))
		}
	}
	// credited buys in packs at 3 and gets 2 for what is left, where there is any.
	credited := func(s graph.Scope, need graph.ID, pack string) graph.ID {
		bought := s.Ceiling("bought", "bought", need, pieces(s, "pack", pack))
		left := s.Subtract("left", "left over", bought, need)
		price := s.Choose("left-price", "price of what is left", left, graph.Greater, s.Zero(graph.Piece), perPiece(s, "credit", "2"), s.Zero(euro.Per(graph.Piece)))
		return s.Subtract("batch", "batch", s.Multiply("value", "value", bought, perPiece(s, "paid", "3")), s.Multiply("credited", "credit", left, price))
	}
	// nearly compares amounts so large that binary numbers cannot tell their eighth
	// place: equal at 93 pieces exactly, or not quite.
	nearly := func(offset string) func(s graph.Scope, q graph.ID) graph.ID {
		return func(s graph.Scope, q graph.ID) graph.ID {
			limit := s.Add("limit", "limit", s.Input("ninety-three", "93 pieces", euro, ft.Dec("114814813.77")), s.Input("offset", "offset", euro, ft.Dec(offset)))
			value := s.Multiply("value", "value", q, perPiece(s, "making", "1234567.89"))
			extra := s.Choose("extra", "extra", value, graph.Equal, limit, s.Input("surcharge", "surcharge", euro, ft.Dec("5")), s.Zero(euro))
			return s.Add("batch", "batch", extra, s.Multiply("small", "small", q, perPiece(s, "little", "1")))
		}
	}
	for name, c := range map[string]struct {
		batch func(s graph.Scope, q graph.ID) graph.ID
		want  []string // up to 160 pieces
	}{
		// S1's bar of 65 blanks: the 65th belongs to the first bar. In binary numbers it
		// yields 64.
		"bars": {func(s graph.Scope, q graph.ID) graph.ID {
			s = s.Of("heat sink")
			mm := func(name, text string) graph.ID { return s.Input(name, name, graph.Mm, ft.Dec(text)) }
			usable := s.Subtract("usable", "usable length", mm("bar", "3000"), mm("trim-and-grip", "114"))
			exactly := s.Divide("exact", "blanks before rounding", usable, s.Add("pitch", "blank and kerf", mm("blank", "43.2"), mm("kerf", "1.2")))
			perBar := s.Multiply("per-bar", "blanks per bar", s.Floor("whole", "whole blanks", exactly, s.One(graph.Plain)), s.One(graph.Piece))
			bars := s.Whole("bars", "bars", s.Divide("bars-exact", "bars before rounding", q, perBar))
			return s.Multiply("batch", "batch", bars, s.Input("price", "price of a bar", euro, ft.Dec("52.40")))
		}, []string{"65: heat sink: bars 1 to 2; 52.4", "130: heat sink: bars 2 to 3; 52.4"}},
		"from 100":                {priced(false), []string{"99: price, old to new; -25"}},
		"up to and including 100": {priced(true), []string{"100: price, old to new; -25.25"}},
		// The arms meet where the choice turns: nothing jumps, but the curve bends.
		"equal arms": {func(s graph.Scope, q graph.ID) graph.ID {
			low := s.Multiply("low", "low", q, perPiece(s, "dear", "4"))
			high := s.Add("high", "high", s.Input("fixed", "fixed", euro, ft.Dec("300")), s.Multiply("value", "value", q, perPiece(s, "cheap", "1")))
			return s.Choose("batch", "batch", q, graph.GreaterOrEqual, pieces(s, "hundred", "100"), high, low)
		}, []string{"99: batch, low to high; 0"}},
		// The price of what is left turns to nothing when nothing is left: no break, since
		// nothing times any price is nothing. Eighty more at 3, of which 79 are left at 2,
		// beyond a bought quantity held that is one short: what is left is then −1, at no
		// price, as at its end.
		"a silent step": {func(s graph.Scope, q graph.ID) graph.ID { return credited(s, q, "80") },
			[]string{"80: bought 80 to 160, then price of what is left, zero EUR/piece to credit; 82"}},
		// Held at the packs it had, the batch lacks some screws, and the price of what is
		// left must not turn to nothing because of that.
		"held too small": {func(s graph.Scope, q graph.ID) graph.ID {
			return credited(s, s.Multiply("need", "screws needed", q, s.Input("per-lamp", "per lamp", graph.Plain, ft.Dec("7"))), "400")
		}, []string{"57: bought 400 to 800; 400", "114: bought 800 to 1200; 400"}},
		// At 101 pieces the arm left would step itself: 101 × 1.50 beyond two bars.
		"an arm left": {func(s graph.Scope, q graph.ID) graph.ID {
			bars := s.Whole("bars", "bars", s.Divide("exact", "exact", q, pieces(s, "per-bar", "50")))
			own := s.Multiply("own", "own bars", bars, s.Input("bar", "bar", euro, ft.Dec("80")))
			return s.Choose("batch", "batch", q, graph.Greater, pieces(s, "hundred", "100"), s.Multiply("ready", "ready blanks", q, perPiece(s, "blank", "1.5")), own)
		}, []string{"50: bars 1 to 2; 80", "100: batch, own bars to ready blanks; -8.5"}},
		// Nine at 30 cost what ten at 27 do, so ordering up to ten never pays; it is no reason
		// to pass over the price at ten, nor to stop at eleven, where the ten would be short.
		"made up for": {func(s graph.Scope, q graph.ID) graph.ID {
			ten, old, cheap := pieces(s, "ten", "10"), perPiece(s, "old", "30"), perPiece(s, "new", "27")
			price := s.Band("price", "price", graph.Axis{X: q, Edges: []graph.ID{ten}, Bands: graph.Bands{BelowClosed: []bool{false}}}, old, cheap)
			base := s.Multiply("base", "just enough", q, price)
			more := s.Multiply("more", "up to ten", s.Maximum("up-to", "up to", q, ten), cheap)
			return s.At("batch", "batch", s.Least("best", "best", base, more), base, more)
		}, []string{"9: price, old to new; -30"}},
		"a tie":        {nearly("0"), []string{"92: extra, zero EUR to surcharge; 5", "93: extra, surcharge to zero EUR; -5"}},
		"nearly a tie": {nearly("0.00000002"), nil},
	} {
		g, r := small(t, c.batch)
		r.To = 160
		var got []string
		for _, b := range breaks(t, sweep(t, g, r)) {
			got = append(got, told(b))
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
}

// TestGrainIsLocal is a price that falls by a price point with every piece at
// first, and then ever more seldom.
func TestGrainIsLocal(t *testing.T) {
	t.Parallel()
	g, r := small(t, func(s graph.Scope, q graph.ID) graph.ID {
		setup := s.Divide("setup-each", "set-up", s.Input("setup", "set-up", euro, ft.Dec("5000")), q)
		price := s.Ceiling("price", "price asked", setup, perPiece(s, "point", "5"))
		return s.Multiply("batch", "batch", q, price)
	})
	r.To = 600
	c := sweep(t, g, r)
	got := breaks(t, c)
	if len(c.Counted) != 1 || c.Counted[0].Key != "price" {
		t.Fatalf("counted piece by piece: %+v", c.Counted)
	}
	for _, b := range got {
		// The price is 5·k as long as (k−1) times the pieces is less than 1000.
		k := b.Causes[0].Was.IntPart() / 5
		if (k-1)*b.UpTo >= 1000 || (k-1)*b.From < 1000 || b.UpTo < 30 {
			t.Errorf("%s up to %d", b.Causes[0].Was, b.UpTo)
		}
	}
	if runs := c.Runs(); !runs[0].Counted || runs[len(runs)-1].Counted || len(got) < 10 {
		t.Errorf("%d breaks, runs %+v", len(got), runs)
	}
	r.From = 30
	if runs := sweep(t, g, r).Runs(); !runs[0].Counted || runs[len(runs)-1].Counted {
		t.Errorf("from 30 on, runs %+v", runs)
	}
}

// TestCoinsAreGrain is a price in whole cents.
func TestCoinsAreGrain(t *testing.T) {
	t.Parallel()
	g, r := small(t, func(s graph.Scope, q graph.ID) graph.ID {
		setup := s.Divide("setup-each", "set-up", s.Input("setup", "set-up", euro, ft.Dec("20")), q)
		price := s.Ceiling("price", "price asked", s.Add("sum", "sum", setup, perPiece(s, "making", "90")), perPiece(s, "coin", "0.01"))
		return s.Multiply("batch", "batch", q, price)
	})
	r.From, r.To = 150, 400
	c := sweep(t, g, r)
	if len(c.Places) != 0 || len(c.Counted) != 1 || c.Counted[0].Changes >= 84 {
		t.Errorf("%d breaks, counted %+v", len(c.Places), c.Counted)
	}
}

// TestGrowingSize counts lots whose size grows with the batch: what steps is how
// many there are, not how large they are.
func TestGrowingSize(t *testing.T) {
	t.Parallel()
	g, r := small(t, func(s graph.Scope, q graph.ID) graph.ID {
		size := s.Add("size", "size of a lot", pieces(s, "least", "7"), s.Multiply("grown", "grown", q, s.Input("share", "share", graph.Plain, ft.Dec("0.03"))))
		made := s.Ceiling("made", "pieces in whole lots", q, size)
		return s.Multiply("batch", "batch", made, perPiece(s, "making", "3"))
	})
	lots := func(q int64) int64 { return counted(rat(q), ft.Plus(rat(7), ft.Times(rat(q), ft.Rat("0.03")))) }
	var want []curve.Place
	for q := int64(1); q < 200; q++ {
		if lots(q) != lots(q+1) {
			want = append(want, curve.Place{UpTo: q})
		}
	}
	at := func(a, b curve.Place) bool { return a.UpTo == b.UpTo }
	if got := sweep(t, g, r).Places; !slices.EqualFunc(got, want, at) || len(want) < 8 {
		t.Errorf("breaks up to %v, counted %v", got, want)
	}
}

// TestShortRange judges the grain of one step of two quantities by what follows.
func TestShortRange(t *testing.T) {
	t.Parallel()
	g, r := small(t, func(s graph.Scope, q graph.ID) graph.ID {
		loads := s.Whole("loads", "loads", s.Divide("exact", "exact", q, pieces(s, "per-load", "10")))
		started := s.Whole("started", "started", s.Divide("started-exact", "exact", q, s.Input("yield", "yield", graph.Plain, ft.Dec("0.9"))))
		return s.SumProducts("batch", "batch", loads, s.Input("load", "load", euro, ft.Dec("7")), started, perPiece(s, "making", "1"))
	})
	r.From, r.To = 70, 71
	c := sweep(t, g, r)
	got := breaks(t, c)
	if len(got) != 1 || len(got[0].Causes) != 1 || got[0].Causes[0].Key != "loads" || len(c.Counted) != 1 || c.Counted[0].Key != "started" {
		t.Errorf("%+v, counted %+v", got, c.Counted)
	}
	r.To = 70
	if one := sweep(t, g, r); len(one.Places) != 0 || len(one.Runs()) != 1 {
		t.Errorf("one quantity has breaks: %+v", one.Places)
	}
}

// decided is a graph with a decision that holds for 20 to 120 pieces.
func decided(t *testing.T) (*graph.Graph, curve.Request) {
	return small(t, func(s graph.Scope, q graph.ID) graph.ID {
		lot := s.Decided("lot", "lot size", graph.Piece, ft.Dec("25"), graph.Choice{Solver: "lot size",
			Valid: []graph.Window{{Input: q, Low: ft.Dec("20"), High: ft.Dec("120")}}})
		return s.Multiply("batch", "batch", s.Divide("lots", "lots", q, lot), s.Input("lot-cost", "lot", euro, ft.Dec("9")))
	})
}

func TestDecisionWindow(t *testing.T) {
	t.Parallel()
	g, r := decided(t)
	var at *curve.QuantityError
	var outside *exact.OutsideDecisionError
	for _, c := range []struct{ from, to, first int64 }{{1, 50, 1}, {30, 200, 121}, {115, 2000, 121}} {
		r.From, r.To = c.from, c.to
		_, err := curve.Sweep(t.Context(), g, r)
		if !errors.As(err, &at) || !errors.As(err, &outside) || at.Quantity != c.first || outside.Key != "lot" || at.Remedy == "" {
			t.Errorf("%d to %d: %v", c.from, c.to, err)
		}
	}
	r.From, r.To = 100, 120 // the grain is not judged beyond the window
	sweep(t, g, r)
	lot, _ := g.Find("lot")
	r.From, r.To, r.Hold = 1, 2000, exact.Pins{lot: ft.Dec("25")}
	if c := sweep(t, g, r); c.Flat || len(c.Places) != 0 {
		t.Errorf("held: %+v", c.Places)
	}
}

func TestUndefined(t *testing.T) {
	t.Parallel()
	g, r := small(t, func(s graph.Scope, q graph.ID) graph.ID {
		axis := graph.Axis{X: q, High: pieces(s, "most", "1500"), Bands: graph.Bands{HasHigh: true, HighClosed: true}}
		return s.Multiply("batch", "batch", q, s.Band("tariff", "tariff", axis, perPiece(s, "price", "2")))
	})
	r.From, r.To = 400, 3000
	_, err := curve.Sweep(t.Context(), g, r)
	var at *curve.QuantityError
	var none *exact.UndefinedError
	if !errors.As(err, &at) || at.Quantity != 1501 || !errors.As(err, &none) || none.Key != "each" || none.Cause != "tariff" {
		t.Fatalf("%v", err)
	}
	r.To = 1500
	sweep(t, g, r)
}

func TestRequestErrors(t *testing.T) {
	t.Parallel()
	g, good := small(t, func(s graph.Scope, q graph.ID) graph.ID {
		return s.Multiply("batch", "batch", q, perPiece(s, "each-in", "2"))
	})
	for _, c := range []struct {
		field  string
		change func(r *curve.Request)
	}{
		{"from", func(r *curve.Request) { r.From = 0 }},
		{"from", func(r *curve.Request) { r.From = -5 }},
		{"to", func(r *curve.Request) { r.From, r.To = 10, 9 }},
		{"to", func(r *curve.Request) { r.To = 20_001 }},
		{"to", func(r *curve.Request) { r.From, r.To = 999_999_999, 1_000_000_001 }},
		{"marks[1]", func(r *curve.Request) { r.Marks = []int64{5, 201} }},
	} {
		r := good
		c.change(&r)
		_, err := curve.Sweep(t.Context(), g, r)
		var bad *curve.RequestError
		if !errors.As(err, &bad) || bad.Field != c.field || bad.Message == "" || bad.Remedy == "" {
			t.Errorf("want an error of %s, got %v", c.field, err)
		}
	}
}

// TestFlat draws a figure that does not rest on the quantity.
func TestFlat(t *testing.T) {
	t.Parallel()
	g, r := small(t, func(s graph.Scope, q graph.ID) graph.ID {
		bars := s.Whole("bars", "bars", s.Divide("exact", "exact", q, pieces(s, "per-bar", "20")))
		return s.Multiply("batch", "batch", bars, s.Multiply("bar", "bar", s.Input("bar-price", "price", euro, ft.Dec("3"))))
	})
	if c := sweep(t, g, r); c.Flat || len(c.Runs()) != 10 {
		t.Errorf("each: %+v", c.Runs())
	}
	r.Figure, _ = g.Find("bar")
	c := sweep(t, g, r)
	l, err := c.Least(t.Context())
	if !c.Flat || len(c.Runs()) != 1 || err != nil || l.Quantity != 1 || !l.Value.Equal(ft.Dec("3")) {
		t.Errorf("%+v %+v %v", c.Runs(), l, err)
	}
	if c.Values[0] != 3 || c.Values[199] != 3 {
		t.Errorf("flat at %v and %v", c.Values[0], c.Values[199])
	}
	if got := breaks(t, c); len(got) != 0 {
		t.Errorf("breaks of a flat figure: %v", got)
	}
}

// TestOneOfAMix moves one line of a mix.
func TestOneOfAMix(t *testing.T) {
	t.Parallel()
	b := graph.NewBuilder(graph.Limits{})
	s := b.Root()
	p, q := pieces(s, "plain", "10"), pieces(s, "glow", "30")
	bars := s.Whole("bars", "bars", s.Divide("exact", "exact", s.Add("sum", "sum", p, q), pieces(s, "per-bar", "60")))
	each := s.Divide("each", "each", s.Multiply("batch", "batch", bars, s.Input("bar", "bar", euro, ft.Dec("60"))), p)
	g := graphtest.Built(t, b)
	var got []int64
	for _, b := range breaks(t, sweep(t, g, curve.Request{Figure: each, Full: each, Quantity: p, From: 1, To: 99})) {
		got = append(got, b.UpTo)
	}
	if !slices.Equal(got, []int64{30, 90}) {
		t.Errorf("breaks up to %v", got)
	}
}

func TestCancel(t *testing.T) {
	t.Parallel()
	est := demo(t, "plain")
	ctx, cancel := context.WithCancel(t.Context())
	c := sweep(t, est.Graph, whole(est.Variants[0], 1, 100))
	cancel()
	_, swept := curve.Sweep(ctx, est.Graph, whole(est.Variants[0], 1, 5000))
	_, named := c.Breaks(ctx, 1)
	_, least := c.Least(ctx)
	_, crossed := curve.Crossings(ctx, c, c)
	for _, err := range []error{swept, named, least, crossed} {
		if !errors.Is(err, context.Canceled) {
			t.Errorf("cancelled: %v", err)
		}
	}
}

// TestFaultOfAHeldStepIsTold holds the boxes as they were: at 11 that makes no
// difference, and at 12 the charge is too large to be computed. That is an error
// with its quantity, and not the answer that the boxes make no difference.
func TestFaultOfAHeldStepIsTold(t *testing.T) {
	t.Parallel()
	g, r := small(t, func(s graph.Scope, q graph.ID) graph.ID {
		plain := func(name, text string) graph.ID { return s.Input(name, name, graph.Plain, ft.Dec(text)) }
		boxes := s.Ceiling("boxes", "boxes", q, pieces(s, "box", "10"))
		packs := s.Ceiling("packs", "packs", q, pieces(s, "pack", "10"))
		away := s.Add("away", "away", s.Divide("short-by", "short", s.Subtract("short", "short", q, boxes), pieces(s, "one", "1")), plain("middle", "4.5"))
		places := s.Multiply("places", "places", plain("steepness", "1.8"), s.Multiply("squared", "squared", away, away))
		charge := s.Power("charge", "charge", plain("ten", "10"), places)
		late := s.Maximum("late", "late", s.Zero(graph.Plain), s.Divide("late-by", "late", s.Subtract("after", "after", q, pieces(s, "eleven", "11")), pieces(s, "a-piece", "1")))
		return s.Add("batch", "batch", s.Multiply("paid", "paid", packs, perPiece(s, "price", "3")),
			s.Multiply("extra", "extra", s.Multiply("charged", "charged", charge, late), s.Input("euro", "euro", euro, ft.Dec("1"))))
	})
	r.To = 15
	c := sweep(t, g, r)
	_, err := c.Breaks(t.Context(), len(c.Places))
	var at *curve.QuantityError
	if !errors.As(err, &at) || at.Quantity != 12 {
		t.Errorf("%v, want an error at 12", err)
	}
}
