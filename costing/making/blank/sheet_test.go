package blank_test

import (
	"fmt"
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
)

// lay counts how often a blank can be set down along a side, a gap apart.
func lay(side, blank, gap *big.Rat) (n int) {
	for at := new(big.Rat); ft.Plus(at, blank).Cmp(side) <= 0; n++ {
		at = ft.Plus(at, blank, gap)
	}
	return n
}

// sheet is a plate with its blank; sides in mm as typed, "" for no entry.
type sheet struct {
	length, width, margin, gap string
	a, b                       string // sides of the blank
	d                          string // or its diameter
	grain                      bool
}

func (s sheet) job() job {
	j := plain(bom.Plate)
	j.stock.LengthMM, j.stock.WidthMM = *ft.Num(s.length), ft.Num(s.width)
	j.blank = bom.Blank{Stock: "S", LengthMM: ft.Num(s.a), WidthMM: ft.Num(s.b), DiameterMM: ft.Num(s.d),
		KerfMM: ft.Num(s.gap), MarginMM: ft.Num(s.margin), Grain: s.grain}
	return j
}

func entry(text string) *big.Rat {
	if text == "" {
		return new(big.Rat)
	}
	return ft.Rat(text)
}

// usable gives the sides less a margin along each edge.
func (s sheet) usable() (u, v *big.Rat) {
	edges := ft.Times(ft.Rat("2"), entry(s.margin))
	return ft.Minus(ft.Rat(s.length), edges), ft.Minus(ft.Rat(s.width), edges)
}

// counts are the blanks of each layout, in the order they are offered.
func (s sheet) counts() []int {
	u, v := s.usable()
	gap := entry(s.gap)
	if s.d != "" {
		d := ft.Rat(s.d)
		return []int{lay(u, d, gap) * lay(v, d, gap), placeRows(u, v, d, gap), placeRows(v, u, d, gap)}
	}
	drawn := lay(u, ft.Rat(s.a), gap) * lay(v, ft.Rat(s.b), gap)
	if s.grain {
		return []int{drawn}
	}
	return []int{drawn, lay(u, ft.Rat(s.b), gap) * lay(v, ft.Rat(s.a), gap)}
}

// best is the first layout, from 1, with the most blanks.
func best(counts []int) (layout, most int) {
	for i, n := range counts {
		if n > most || i == 0 {
			layout, most = i+1, n
		}
	}
	return layout, most
}

// check builds the sheet and compares count, layout and checks. Rectangles that may
// be turned can have a third layout with more blanks: it is drawn, and the drawing
// is held to the sheet.
func (s sheet) check(t *testing.T) {
	t.Helper()
	counts := s.counts()
	b := s.job().build(t)
	v := b.values()
	what := fmt.Sprintf("%+v", s)
	if s.d == "" && !s.grain {
		b.Want(v, what+" as drawn", b.id("layout/as-drawn/count"), whole(counts[0]))
		b.Want(v, what+" turned", b.id("layout/turned/count"), whole(counts[1]))
		b.Want(v, what+" mixed has room", b.id("layout/mixed/area-fits"), whole(1))
		counts = append(counts, int(b.get(v, "layout/mixed/count").IntPart()))
	}
	layout, most := best(counts)
	if most < 300 {
		s.drawn(t, most)
	}
	b.Want(v, what+" blanks", b.id("per-stock"), whole(most))
	if s.grain {
		if _, decided := b.Graph.Find("part/layout"); decided {
			t.Errorf("%s: there is nothing to decide", what)
		}
		return
	}
	b.Want(v, what+" layout", b.id("layout"), whole(layout))
	b.Want(v, what+" best", b.id("layout-best"), whole(1))
	holds := whole(0)
	if most > 0 {
		holds = whole(1)
	}
	b.Want(v, what+" holds one", b.id("layout-holds-one"), holds)
}

// tenths gives a length of some tenths of a millimetre.
func tenths(n int64) string { return decimal.New(n, -1).String() }

// TestSheets compares with blanks set down one by one, both ways round; every
// other sheet is made to fit exactly.
func TestSheets(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(1000, 600))
	for i := range 250 {
		a, b, gap, margin := 100+rng.Int64N(2500), 100+rng.Int64N(2500), rng.Int64N(60), rng.Int64N(150)
		length, width := 2000+rng.Int64N(10000), 2000+rng.Int64N(8000)
		if i%2 == 0 {
			length = (1+rng.Int64N(9))*(a+gap) - gap + 2*margin
			width = (1+rng.Int64N(9))*(b+gap) - gap + 2*margin
		}
		sheet{length: tenths(length), width: tenths(width), margin: tenths(margin), gap: tenths(gap),
			a: tenths(a), b: tenths(b), grain: i%5 == 0}.check(t)
	}
}

func TestSheetExamples(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		sheet
		rows, blanks int // in the best rows, and in the best layout
	}{
		{sheet{length: "1000", width: "500", a: "250", b: "100"}, 20, 20},
		{sheet{length: "1000", width: "500", a: "100", b: "250"}, 20, 20},
		{sheet{length: "1000", width: "500", a: "250", b: "100", gap: "0.1"}, 12, 15}, // 3 × 4 and 3 turned beside; turned 9 × 1
		{sheet{length: "1000", width: "500", a: "120", b: "80", gap: "2", margin: "10", grain: true}, 40, 40},
		{sheet{length: "1000", width: "500", a: "480", b: "980", margin: "10"}, 1, 1},
		{sheet{length: "1000", width: "500", a: "480", b: "980", margin: "10", grain: true}, 0, 0},
		{sheet{length: "1000", width: "500", a: "1200", b: "80"}, 0, 0},
		{sheet{length: "100", width: "100", a: "20", b: "20", margin: "60"}, 0, 0},
		{sheet{length: "100", width: "100", d: "40", margin: "60"}, 0, 0},
		{sheet{length: "1000", width: "600", d: "98", gap: "4", margin: "6"}, 55, 55}, // 11 rows of 5; square 9 × 5, the other way 6 rows of 9
	} {
		if _, most := best(c.counts()); most != c.rows {
			t.Errorf("%+v: the oracle sets down %d, want %d", c.sheet, most, c.rows)
		}
		b := c.job().build(t)
		b.Want(b.values(), fmt.Sprintf("%+v", c.sheet), b.id("per-stock"), whole(c.blanks))
		c.check(t)
	}
}

// TestLayoutIsHeld: the layout holds for the dimensions it was decided with and
// no others; a pinned one is held, and its check tells when another is better.
func TestLayoutIsHeld(t *testing.T) {
	t.Parallel()
	b := sheet{length: "900", width: "600", a: "300", b: "200", gap: "0", margin: "0"}.job().build(t)
	b.Want(b.values(), "blanks as drawn", b.id("per-stock"), whole(9))
	for key, value := range map[string]string{"stock/S/length": "800", "stock/S/width": "601", "part/blank-length": "299.999",
		"part/blank-width": "150", "part/kerf": "0.5", "part/margin": "1"} {
		_, err := b.with(map[string]string{key: value})
		outside(t, err, key)
	}
	for _, c := range []struct {
		length       string
		blanks, best int
	}{{"900", 9, 1}, {"1200", 12, 1}, {"800", 6, 0}, {"1000", 9, 0}} {
		v, err := b.with(map[string]string{"stock/S/length": c.length, "layout": "1", "layout/mixed/count": "9"})
		if err != nil {
			t.Fatal(err)
		}
		b.Want(v, "blanks of a sheet of "+c.length, b.id("per-stock"), whole(c.blanks))
		b.Want(v, "still best at "+c.length, b.id("layout-best"), whole(c.best))
	}
}

// TestRangesDecideAtLikely: a dimension that is a range decides with its likely
// value, and the decision is pinned for draws.
func TestRangesDecideAtLikely(t *testing.T) {
	t.Parallel()
	j := sheet{length: "1000", width: "600", d: "98", gap: "4"}.job()
	j.blank.DiameterMM = &bom.Number{Low: ft.Dec("90"), Likely: ft.Dec("98"), High: ft.Dec("120"), IsRange: true}
	b := j.build(t)
	layout := b.get(b.values(), "layout")
	_, err := b.with(map[string]string{"blank-diameter": "110"})
	outside(t, err, "part/blank-diameter")
	if _, err := b.with(map[string]string{"blank-diameter": "110", "layout": layout.String()}); err != nil {
		t.Error(err)
	}
}

// TestGrainNeedsNoDecision: with one layout, dimensions may change freely.
func TestGrainNeedsNoDecision(t *testing.T) {
	t.Parallel()
	s := sheet{length: "900", width: "600", a: "300", b: "200", grain: true}
	b := s.job().build(t)
	for _, length := range []string{"900", "899.9", "1800"} {
		v, err := b.with(map[string]string{"stock/S/length": length})
		if err != nil {
			t.Fatal(err)
		}
		s.length = length
		b.Want(v, "blanks of a sheet of "+length, b.id("per-stock"), whole(s.counts()[0]))
	}
}

// TestLargerSheetsNeverYieldFewer, grain never yields more, and blanks never take
// more area than the sheet has.
func TestLargerSheetsNeverYieldFewer(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(17, 29))
	yield := func(s sheet) int64 {
		b := s.job().build(t)
		return b.get(b.values(), "per-stock").IntPart()
	}
	for i := range 120 {
		s := sheet{margin: tenths(rng.Int64N(100)), gap: tenths(rng.Int64N(60)), a: tenths(400 + rng.Int64N(3000)), b: tenths(400 + rng.Int64N(3000))}
		if i%3 == 0 {
			s.d, s.a, s.b = s.a, "", ""
		}
		length, width := 3000+rng.Int64N(9000), 3000+rng.Int64N(6000)
		s.length, s.width = tenths(length), tenths(width)
		n := yield(s)
		if i%3 != 0 {
			taken := ft.Times(whole(int(n)), ft.Rat(s.a), ft.Rat(s.b))
			if taken.Cmp(ft.Times(ft.Rat(s.length), ft.Rat(s.width))) > 0 {
				t.Errorf("%+v: %d blanks take more area than there is", s, n)
			}
			along := s
			along.grain = true
			if m := yield(along); m > n {
				t.Errorf("%+v: %d blanks with grain, %d without", s, m, n)
			}
		}
		larger := s
		larger.length, larger.width = tenths(length+rng.Int64N(400)), tenths(width+rng.Int64N(400))
		if m := yield(larger); m < n {
			t.Errorf("%+v yields %d, the larger sheet of %s × %s only %d", s, n, larger.length, larger.width, m)
		}
	}
}
