package blank_test

import (
	"math/rand/v2"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// bar is a bar in steps of 10⁻⁴ mm, so that the oracle counts in whole numbers.
type bar struct{ length, trim, grip, blank, kerf int64 }

const perMM = 10_000

func mm(n int64) decimal.Decimal { return decimal.New(n, -4) }

// saw cuts a bar blank by blank, as the machine does. The blade crosses the bar
// after every blank, except that the last one of a bar that nothing holds may be
// what is left over.
func (b bar) saw() (blanks int64) {
	free := b.length - b.trim
	if b.grip > 0 {
		for free -= b.grip; free >= b.blank+b.kerf; blanks++ {
			free -= b.blank + b.kerf
		}
		return blanks
	}
	for ; free >= b.blank; blanks++ {
		free -= b.blank + b.kerf
	}
	return blanks
}

// barGraph is one bar whose dimensions are pinned case by case: a bar has no
// decided layout.
type barGraph struct {
	*built
	dims [5]graph.ID
	rest graph.ID
	per  graph.ID
}

func newBarGraph(t *testing.T) *barGraph {
	j := plain(bom.Bar)
	j.blank = bom.Blank{Stock: "S", LengthMM: ft.Num("50"), KerfMM: ft.Num("1"), EndCutMM: ft.Num("10"), BarEndMM: ft.Num("20")}
	g := &barGraph{built: j.build(t)}
	for i, key := range []string{"stock/S/length", "end-cut", "bar-end", "blank-length", "kerf"} {
		g.dims[i] = g.id(key)
	}
	g.rest, g.per = g.id("bar-rest"), g.id("per-stock")
	return g
}

func (g *barGraph) check(e *exact.Evaluator, b bar) {
	g.T.Helper()
	pins := exact.Pins{}
	for i, n := range []int64{b.length, b.trim, b.grip, b.blank, b.kerf} {
		pins[g.dims[i]] = mm(n)
	}
	v, err := e.Evaluate(pins)
	if err != nil {
		g.T.Fatal(err)
	}
	if got := g.Get(v, g.per).IntPart(); got != b.saw() {
		g.T.Errorf("%+v yields %d, sawn %d", b, got, b.saw())
	}
	if rest := g.Get(v, g.rest); rest.IsNegative() || rest.GreaterThanOrEqual(mm(b.blank+b.kerf)) {
		g.T.Errorf("%+v leaves %s of its usable length", b, rest)
	}
}

// TestExactFits: bars made to hold a whole number of blanks exactly, and bars one
// step longer and shorter, in decimals that no binary fraction holds.
func TestExactFits(t *testing.T) {
	t.Parallel()
	g := newBarGraph(t)
	e := exact.New(g.Graph)
	rng := rand.New(rand.NewPCG(43, 12))
	for range 3000 {
		b := bar{blank: 1000 + rng.Int64N(120*perMM), kerf: rng.Int64N(6 * perMM), trim: rng.Int64N(30 * perMM)}
		if rng.IntN(2) == 0 { // coarse decimals, such as 43.2 and 1.2
			b.blank, b.kerf, b.trim = 1000*(1+b.blank/1000), b.kerf/1000*1000, b.trim/1000*1000
		}
		n := 1 + rng.Int64N(400)
		b.length = b.trim + n*(b.blank+b.kerf)
		if rng.IntN(2) == 0 {
			b.grip = 1 + rng.Int64N(120*perMM)
			b.length += b.grip
		} else {
			b.length -= b.kerf
		}
		if b.saw() != n {
			t.Fatalf("%+v: made for %d, sawn %d", b, n, b.saw())
		}
		for _, more := range []int64{0, 1, -1} {
			near := b
			near.length += more
			if near.saw() > 0 {
				g.check(e, near)
			}
		}
	}
}

// TestBars: any bar, exact fit or not.
func TestBars(t *testing.T) {
	t.Parallel()
	g := newBarGraph(t)
	e := exact.New(g.Graph)
	rng := rand.New(rand.NewPCG(3000, 65))
	for range 1500 {
		b := bar{length: 500*perMM + rng.Int64N(5500*perMM), blank: 5*perMM + rng.Int64N(400*perMM),
			kerf: rng.Int64N(4 * perMM), trim: rng.Int64N(20 * perMM), grip: rng.Int64N(2) * rng.Int64N(60*perMM)}
		if b.saw() > 0 {
			g.check(e, b)
		}
	}
}

// TestBarExample is the bar for which floating point says 64.
func TestBarExample(t *testing.T) {
	t.Parallel()
	g := newBarGraph(t)
	b := bar{3000 * perMM, 10 * perMM, 104 * perMM, 432000, 12000}
	if b.saw() != 65 {
		t.Fatalf("sawn %d", b.saw())
	}
	g.check(exact.New(g.Graph), b)
}

// TestBarWithoutEntries leaves out what a simple part leaves out.
func TestBarWithoutEntries(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		kerf, trim, grip string
		blanks           int64
	}{
		{"", "", "", 20},
		{"1", "", "", 19},
		{"", "0.1", "", 19},
		{"9.375", "", "", 17}, // 17 blanks and 16 cuts are 1000
		{"9.376", "", "", 16},
		{"", "", "0", 20},
		{"", "", "50", 19},
		{"2.5", "", "0", 19}, // 19 × 52.5 = 997.5 leaves room for no blank
		{"2.5", "", "2.5", 19},
		{"2.5", "", "2.6", 18},
	} {
		j := plain(bom.Bar)
		j.blank = bom.Blank{Stock: "S", LengthMM: ft.Num("50"), KerfMM: ft.Num(c.kerf), EndCutMM: ft.Num(c.trim), BarEndMM: ft.Num(c.grip)}
		b := j.build(t)
		if got := b.get(b.values(), "per-stock").IntPart(); got != c.blanks {
			t.Errorf("kerf %q, trim %q, grip %q: %d blanks, want %d", c.kerf, c.trim, c.grip, got, c.blanks)
		}
	}
}

// TestBarTooShort: a bar that yields nothing has no price per blank. It must not
// come out as free.
func TestBarTooShort(t *testing.T) {
	t.Parallel()
	for _, blank := range []string{"1000.1", "990", "2500"} {
		j := plain(bom.Bar)
		j.blank = bom.Blank{Stock: "S", LengthMM: ft.Num(blank), KerfMM: ft.Num("2"), EndCutMM: ft.Num("8"), BarEndMM: ft.Num("100")}
		j.start = 40
		b := j.build(t)
		v := b.values()
		if got := b.get(v, "bar-holds-one"); !got.IsZero() {
			t.Errorf("blank of %s: the check holds", blank)
		}
		if cost, ok := v.Raw(b.charge.Stock); ok {
			t.Errorf("blank of %s: the stock costs %s, want no value", blank, cost)
		}
	}
	j := plain(bom.Bar)
	j.blank = bom.Blank{Stock: "S", LengthMM: ft.Num("50"), EndCutMM: ft.Num("400"), BarEndMM: ft.Num("900")}
	b := j.build(t)
	v := b.values()
	if cost, ok := v.Raw(b.charge.Stock); ok {
		t.Errorf("a bar shorter than trim and grip: the stock costs %s, want no value", cost)
	}
	if got := b.get(v, "bar-holds-one"); !got.IsZero() {
		t.Error("a bar shorter than trim and grip: the check holds")
	}
}
