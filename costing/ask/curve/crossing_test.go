package curve_test

import (
	"errors"
	"fmt"
	"math/big"
	"slices"
	"testing"

	"kerfbook/costing/ask/curve"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/graphtest"
	"kerfbook/testdata/depth"
)

// line is a way of making: fixed cost and cost per piece.
type line struct{ fixed, each string }

// drawn draws a figure against the quantity, from a graph that f writes.
func drawn(t testing.TB, from, to int64, f func(s graph.Scope, q graph.ID) graph.ID) *curve.Curve {
	t.Helper()
	b := graph.NewBuilder(graph.Limits{})
	q := pieces(b.Root(), "quantity", "1")
	figure := f(b.Root(), q)
	return sweep(t, graphtest.Built(t, b), curve.Request{Figure: figure, Full: figure, Quantity: q, From: from, To: to})
}

// cost draws the batch cost of a way of making.
func (l line) cost(t testing.TB, from, to int64) *curve.Curve {
	t.Helper()
	return drawn(t, from, to, l.batch)
}

func (l line) batch(s graph.Scope, q graph.ID) graph.ID {
	return s.Add("cost", "cost", s.Input("fixed", "fixed", euro, ft.Dec(l.fixed)), s.Multiply("variable", "variable", q, perPiece(s, "each-made", l.each)))
}

// crossings compares two curves.
func crossings(t testing.TB, a, b *curve.Curve) *curve.Comparison {
	t.Helper()
	out, err := curve.Crossings(t.Context(), a, b)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// TestPublishedBreakEvens has the published break-evens and choices of process,
// each as two lines of cost, or of price against cost.
func TestPublishedBreakEvens(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		source   string
		a, b     line // a is lower up to the crossing
		from, to int64
		upTo     int64
		level    bool // equal at upTo + 1
	}{
		// A line of price × pieces against fixed + variable: revenue is lower first.
		{"OpenStax, Principles of Accounting 2: Managerial Accounting, 3.2: price 100, variable 20, fixed 18,000: 225 units", line{"0", "100"}, line{"18000", "20"}, 1, 1000, 224, true},
		{"OpenStax 3.5: price 90, variable 40, fixed 85,000: 1,700 units", line{"0", "90"}, line{"85000", "40"}, 1, 5000, 1699, true},
		{"OpenStax 3.4: contribution 30.75 of a composite of 5:3:2, fixed 145,000: 4,715.447, whole 4,716", line{"0", "73.75"}, line{"145000", "43"}, 4000, 5000, 4715, false},
		{"OpenStax 3.4: mix 3:1, contribution 6 and 4, fixed 220,000: 10,000 composite units", line{"0", "22"}, line{"220000", "0"}, 9000, 11000, 9999, true},
		{"qammunity.org/21351487: F 30,000 v 15 against F 50,000 v 10: 4,000 units", line{"30000", "15"}, line{"50000", "10"}, 1, 8000, 3999, true},
		{"learnexams.com: F 500 v 10 against F 1,000 v 5: 100 units", line{"500", "10"}, line{"1000", "5"}, 1, 300, 99, true},
		{"trendsmask.com: F 9,000 v 50 against F 90,000 v 5: 1,800 units", line{"9000", "50"}, line{"90000", "5"}, 1, 3000, 1799, true},
		// OpenStax 10.3: 0.12 of avoidable fixed cost on 120,000 units is 14,400 in
		// all. The quantity is our own arithmetic: 14,400 ÷ (1.75 − 1.68) = 205,714.3.
		{"OpenStax 10.3, make or buy with avoidable fixed cost", line{"0", "1.75"}, line{"14400", "1.68"}, 200_000, 210_000, 205_714, false},
	} {
		got := crossings(t, c.a.cost(t, c.from, c.to), c.b.cost(t, c.from, c.to))
		if len(got.Crossings) != 1 {
			t.Errorf("%s: %+v", c.source, got)
			continue
		}
		x := got.Crossings[0]
		if x.UpTo != c.upTo || x.Before != curve.First || x.After != curve.Second || (x.Level != nil) != c.level || c.level && x.Level.From != c.upTo+1 {
			t.Errorf("%s: %+v", c.source, x)
		}
	}
}

// TestTieOfDecimals has lines that meet at 3 pieces in decimals and not in binary
// numbers: 0.3 + 3 × 0.2 and 3 × 0.3.
func TestTieOfDecimals(t *testing.T) {
	t.Parallel()
	a, b := line{"0.3", "0.2"}.cost(t, 1, 50), line{"0", "0.3"}.cost(t, 1, 50)
	if a.Values[2] == b.Values[2] {
		t.Error("binary numbers meet as well")
	}
	got := crossings(t, a, b)
	if len(got.Crossings) != 1 || got.Crossings[0].Level == nil || *got.Crossings[0].Level != (curve.Level{From: 3, To: 3}) || got.Crossings[0].Before != curve.Second {
		t.Errorf("%+v", got)
	}
}

// TestMakeOrBuy is OpenStax 10.3: 120,000 units at 0.87 + 0.45 + 0.36 against 1.75:
// making saves 8,400 and never crosses; with 0.12 of avoidable fixed cost buying
// saves 6,000 at 120,000.
func TestMakeOrBuy(t *testing.T) {
	t.Parallel()
	making, buying := line{"0", "1.68"}.cost(t, 110_000, 129_000), line{"0", "1.75"}.cost(t, 110_000, 129_000)
	got := crossings(t, making, buying)
	if len(got.Crossings) != 0 || len(got.Stretches) != 1 || got.Stretches[0].Lower != curve.First {
		t.Errorf("%+v", got)
	}
	avoidable := line{"14400", "1.68"}.cost(t, 120_000, 120_000)
	for _, c := range []struct {
		dear, cheap *curve.Curve
		saves       string
	}{{buying, making, "8400"}, {avoidable, buying, "6000"}} {
		dear, _ := c.dear.At(120_000)
		cheap, _ := c.cheap.At(120_000)
		if !dear.Sub(cheap).Equal(ft.Dec(c.saves)) {
			t.Errorf("it saves %s, want %s", dear.Sub(cheap), c.saves)
		}
	}
}

// TestCrossingsAgainstCounting compares all crossings of two shops, which have
// several because both step, with fractions.
func TestCrossingsAgainstCounting(t *testing.T) {
	t.Parallel()
	several, levels := 0, 0
	for seed := range depth.Seeds(400) {
		s := draw(seed + 50_000)
		u := s
		u.perBar, u.perLoad, u.edge, u.closed = s.perBar+int64(seed%9)-4, s.perLoad+int64(seed%5), s.edge-7, !s.closed
		if seed%3 == 0 { // the same again, but for one thing
			u = s
			u.edge, u.pack[1] = s.edge+15, s.pack[1]
		}
		var sides [2]*curve.Curve
		for i, x := range []shop{s, u} {
			o := x.build(t)
			sides[i] = sweep(t, o.g, o.request(x))
		}
		got, want := crossings(t, sides[0], sides[1]), stretches(s, u)
		if !slices.Equal(got.Stretches, want) {
			t.Fatalf("seed %d: stretches %v, counted %v", seed, got.Stretches, want)
		}
		if err := checkCrossings(got); err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		if len(got.Crossings) > 2 {
			several++
		}
		for _, x := range got.Crossings {
			if x.Level != nil {
				levels++
			}
		}
	}
	if several < depth.Of(400)/10 || levels < depth.Of(400)/10 {
		t.Errorf("%d comparisons with several crossings, %d levels", several, levels)
	}
}

func stretches(a, b shop) (out []curve.Stretch) {
	for q := a.from; q <= a.to; q++ {
		lower := curve.Lower(a.cost(q, a.at(q)).Cmp(b.cost(q, b.at(q))))
		if n := len(out); n > 0 && out[n-1].Lower == lower {
			out[n-1].To = q
		} else {
			out = append(out, curve.Stretch{From: q, To: q, Lower: lower})
		}
	}
	return out
}

// checkCrossings holds the crossings against the stretches they come from.
func checkCrossings(c *curve.Comparison) error {
	lower := func(q int64) curve.Lower {
		for _, s := range c.Stretches {
			if q >= s.From && q <= s.To {
				return s.Lower
			}
		}
		return 99
	}
	want := 0
	for i, s := range c.Stretches {
		if s.Lower == curve.Equal && len(c.Stretches) > 1 || i > 0 && s.Lower != curve.Equal && c.Stretches[i-1].Lower != curve.Equal {
			want++
		}
	}
	if len(c.Crossings) != want {
		return fmt.Errorf("%d crossings, %d in the stretches", len(c.Crossings), want)
	}
	for _, x := range c.Crossings {
		if lower(x.UpTo) != x.Before || lower(x.From) != x.After || x.Level == nil && x.From != x.UpTo+1 {
			return fmt.Errorf("crossing %+v", x)
		}
		if l := x.Level; l != nil && (lower(l.From) != curve.Equal || lower(l.To) != curve.Equal) {
			return fmt.Errorf("level %+v of %+v", l, x)
		}
		for k, p := range x.Values {
			if p.First.Round(9).Cmp(p.Second.Round(9)) != int([]curve.Lower{x.Before, x.After}[k]) {
				return fmt.Errorf("values %v of %+v", p, x)
			}
		}
	}
	return nil
}

// TestWhatIf compares one figure with itself under other figures held.
func TestWhatIf(t *testing.T) {
	t.Parallel()
	g, r := small(t, line{"120", "18"}.batch)
	fixed, _ := g.Find("fixed")
	each, _ := g.Find("each-made")
	dearer := r
	dearer.Hold = exact.Pins{fixed: ft.Dec("300"), each: ft.Dec("15")}
	got := crossings(t, sweep(t, g, r), sweep(t, g, dearer))
	if len(got.Crossings) != 1 {
		t.Fatalf("%+v", got)
	}
	// 180 ÷ 3 = 60 pieces cost the same.
	if x := got.Crossings[0]; x.UpTo != 59 || x.From != 61 || *x.Level != (curve.Level{From: 60, To: 60}) || x.Touches() {
		t.Errorf("%+v", x)
	}
}

func TestTouch(t *testing.T) {
	t.Parallel()
	square := func(s graph.Scope, q graph.ID) graph.ID {
		off := s.Subtract("off", "off", q, pieces(s, "fifty", "50"))
		return s.Multiply("square", "square", off, off)
	}
	flat := func(s graph.Scope, _ graph.ID) graph.ID { return s.Add("flat", "flat", s.Zero(graph.Piece.Power(2))) }
	got := crossings(t, drawn(t, 20, 80, square), drawn(t, 20, 80, flat))
	if len(got.Crossings) != 1 || !got.Crossings[0].Touches() || got.Crossings[0].Level.From != 50 {
		t.Errorf("%+v", got)
	}
	got = crossings(t, drawn(t, 50, 80, square), drawn(t, 50, 80, flat))
	if len(got.Crossings) != 1 || got.Crossings[0].Before != curve.Equal || got.Crossings[0].UpTo != 50 || got.Crossings[0].From != 51 {
		t.Errorf("at the end of the range: %+v", got)
	}
	itself := func(_ graph.Scope, q graph.ID) graph.ID { return q }
	for what, other := range map[string]*curve.Curve{"pieces against square pieces": drawn(t, 20, 80, itself), "another range": drawn(t, 20, 60, flat)} {
		var bad *curve.RequestError
		if _, err := curve.Crossings(t.Context(), drawn(t, 20, 80, square), other); !errors.As(err, &bad) {
			t.Errorf("%s: %v", what, err)
		}
	}
}

// TestBatchCurve is our own arithmetic: set-up 120, run 18 per piece.
func TestBatchCurve(t *testing.T) {
	t.Parallel()
	g, r := small(t, line{"120", "18"}.batch)
	r.Marks = []int64{1, 5, 10, 25, 50, 100}
	for i, m := range sweep(t, g, r).Marks {
		if want := []string{"138", "42", "30", "22.8", "20.4", "19.2"}[i]; !m.Value.Equal(ft.Dec(want)) {
			t.Errorf("%d pieces: %s each, want %s", m.Quantity, m.Value, want)
		}
	}
}

// lots is the yearly cost of ordering in lots with a price for all units by the
// size of the lot: price × demand + orders + interest on half a lot.
func lots(t testing.TB, order, interest, demand string, from []string, price []string, to int64) *curve.Curve {
	t.Helper()
	return drawn(t, 1, to, func(s graph.Scope, q graph.ID) graph.ID {
		axis := graph.Axis{X: q, Bands: graph.Bands{BelowClosed: make([]bool, len(from))}}
		for i, f := range from {
			axis.Edges = append(axis.Edges, pieces(s, fmt.Sprintf("from-%d", i), f))
		}
		var prices []graph.ID
		for i, p := range price {
			prices = append(prices, perPiece(s, fmt.Sprintf("price-%d", i), p))
		}
		unit := s.Band("price", "price", axis, prices...)
		d := pieces(s, "demand", demand)
		orders := s.Multiply("orders", "cost of orders", s.Divide("orders-count", "orders", d, q), s.Input("order", "cost of an order", euro, ft.Dec(order)))
		half := s.Input("half", "one half", graph.Plain, ft.Dec("0.5"))
		stock := s.Multiply("interest-cost", "interest", s.Input("interest", "interest", graph.Plain, ft.Dec(interest)), unit, q, half)
		return s.Add("total", "cost of a year", s.Multiply("value", "value", d, unit), orders, stock)
	})
}

// TestPublishedLots has the published lot sizes with a discount on all units.
func TestPublishedLots(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		source, order, interest, demand string
		from, price                     []string
		best                            int64
		cost                            string
	}{
		{"Fundamentals of Supply Chain Theory, 2nd ed., all-units discounts", "200", "0.2", "1000", []string{"200", "500"}, []string{"500", "475", "450"}, 500, "472900"},
		{"wizedu 608973", "49", "0.2", "5000", []string{"1000", "2000"}, []string{"5", "4.9", "4.85"}, 1000, "25235"},
		{"nursingexpertshelp.com, quantity-discount exercise; its lowest price is for 1 to 49", "60", "0.3", "800", []string{"50", "100", "200", "500"}, []string{"53", "51.5", "49.5", "48", "47"}, 200, "40080"},
	} {
		got, err := lots(t, c.order, c.interest, c.demand, c.from, c.price, 5000).Least(t.Context())
		if err != nil || got.Quantity != c.best || !got.Value.Equal(ft.Dec(c.cost)) || got.Below.LessThan(got.Value) || got.Above.LessThan(got.Value) {
			t.Errorf("%s: %+v %v", c.source, got, err)
		}
	}
}

// TestLotTies has two lots as cheap as one another: 600 ÷ 24 + 24 = 600 ÷ 25 + 25.
// The smaller one is taken.
func TestLotTies(t *testing.T) {
	t.Parallel()
	cost := func(s graph.Scope, q graph.ID) graph.ID {
		return s.Add("total", "total", s.Divide("orders", "orders", s.Input("k", "k", graph.Piece.Power(2), ft.Dec("600")), q), q)
	}
	c := drawn(t, 1, 100, cost)
	best, err := c.Least(t.Context())
	if want := ft.Plus(big.NewRat(600, 24), rat(24)); err != nil || best.Quantity != 24 || best.Value.Rat().Cmp(want) != 0 || !best.Above.Equal(best.Value) {
		t.Errorf("%+v %v", best, err)
	}
	c = drawn(t, 25, 25, cost)
	if best, err = c.Least(t.Context()); err != nil || best.Quantity != 25 || best.Below != nil || best.Above != nil {
		t.Errorf("%+v %v", best, err)
	}
}
