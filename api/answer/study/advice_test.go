package study

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/bom"
	"kerfbook/costing/ask/curve"
	"kerfbook/costing/book"
	"kerfbook/costing/book/booktest"
	"kerfbook/costing/estimate"
	"kerfbook/testdata/depth"
)

// drawnPart is a shop with one part K-1 that is cut from bar, run in loads, plated and
// fitted with what is bought in packs, in sizes and prices that are drawn.
func drawnPart(t testing.TB, rnd *rand.Rand) *book.Book {
	cents := func(low, high int) string { return decimal.New(int64(low*100+rnd.IntN((high-low)*100)), -2).String() }
	text := fmt.Sprintf(`kerfbook: 1
name: Ostrel Workshop
country: PT
currency: EUR
rate_cards: [{id: "2026", from: 2026-01-01, administration: 0.08, selling: 0.04, material_overhead: 0.05, bought_overhead: 0.03, outside_overhead: 0.03, making_overhead: {base: machine_hours, rate: 12}}]
suppliers: [{id: BARS, name: bar stock}, {id: BITS, name: bits}, {id: PLATER, name: plater}]
materials: [{id: brass, name: brass, density_g_cm3: 8.5}]
stocks: [{id: BAR, name: bar, material: brass, form: bar, length_mm: %d, diameter_mm: 22}]
work_centres: [{id: LATHE, name: lathe, machine_rate_per_h: %s, labour_rate_per_h: %s}]
offers:
  - {supplier: BARS, for: BAR, currency: EUR, unit: piece, breaks: [{from: 1, price: %s}, {from: %d, price: %s}], valid_until: 2027-12-31}
  - {supplier: BITS, for: BIT, currency: EUR, unit: pack, pack_content: %d, breaks: [{from: 1, price: %s}], valid_until: 2027-12-31}
outside_processes: [{id: PLATE, supplier: PLATER, name: plating, currency: EUR, piece_price: %s, fixed: %s, load_charge: %s, minimum: %s}]
parts:
  - number: K-1
    name: knob
    kind: made
    blank: {stock: BAR, length_mm: %d, kerf_mm: 3, end_cut_mm: 10, bar_end_mm: 60}
    children: [{part: BIT, quantity: %d}]
    routing:
      - {number: 10, name: turn, kind: machining, work_centre: LATHE, setup_min: %d, setup_pieces: %d, piece_min: %s, load_min: %s, pieces_per_load: %d, yield: %s}
      - {number: 20, name: plate, kind: outside, treatment: {process: PLATE, pieces_per_load: %d}}
  - {number: BIT, name: bit, kind: bought}
channels: [{id: direct, name: own shop, tax: 0.23, margin: 0.3}]
`, 800+rnd.IntN(2200), cents(8, 60), cents(12, 40), cents(20, 60), 2+rnd.IntN(6), cents(10, 20), 5+rnd.IntN(80), cents(1, 40),
		cents(0, 1), cents(5, 40), cents(5, 60), cents(10, 90), 15+rnd.IntN(60), 1+rnd.IntN(4), 10+rnd.IntN(60), rnd.IntN(4), cents(1, 6), cents(1, 9),
		1+rnd.IntN(30), []string{"1", "0.98", "0.9"}[rnd.IntN(3)], 8+rnd.IntN(100))
	return booktest.Read(t, []byte(text))
}

// TestAdviceIsWhatBatchesCost: of drawn parts, the price of one piece more is the batch
// with it less the batch without it, each built by itself; none within a tenth of what is
// asked costs more; and no quantity of the advice costs less than it says.
func TestAdviceIsWhatBatchesCost(t *testing.T) {
	t.Parallel()
	rises, good, causes := 0, 0, 0
	for seed := range depth.Seeds(200) {
		rnd := rand.New(rand.NewPCG(seed, 97))
		b, asked := drawnPart(t, rnd), 5+rnd.Int64N(300)
		o := change.OriginOf(answer.Of(b))
		out, err := Curves(t.Context(), o, CurveRequest{Day: "2026-11-25", Curves: []Selection{{Part: "K-1"}}, From: max(1, asked/2), To: 2*asked + 1, Quantity: asked})
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		a := out.Curves[0].Advice
		if a == nil {
			t.Fatalf("seed %d: no advice for %d", seed, asked)
		}
		total := func(n int64) decimal.Decimal {
			e, err := answer.Of(b).Evaluate(t.Context(), estimate.Alone("K-1", decimal.New(n, 0), nil), "2026-11-25")
			if err != nil {
				t.Fatal(err)
			}
			d, err := e.Values.Get(e.Estimate.Variants[0].BatchFull)
			if err != nil {
				t.Fatal(err)
			}
			return d
		}
		for _, m := range append([]AddedPiece{a.Step}, a.Matter...) {
			n := int64(m.UpTo)
			if got, want := decimalOf(t, m.Costs), total(n+1).Sub(total(n)); !got.Round(2).Equal(want.Round(2)) || m.From != m.UpTo+1 {
				t.Errorf("seed %d: the %s costs %s, and the batches differ by %s", seed, Ordinal(m.From), got, want)
			}
		}
		from, to := curve.Near(asked)
		most := decimalOf(t, a.Step.Costs).Add(decimal.New(1, -9))
		for n, below := from, total(from); n <= to; n++ {
			above := total(n + 1)
			if above.Sub(below).GreaterThan(most) {
				t.Errorf("seed %d: asked for %d, the advice is the step after %d of %s, and that after %d is %s", seed, asked, a.Step.UpTo, a.Step.Costs, n, above.Sub(below))
			}
			below = above
		}
		make := map[bool]Pieces{true: a.Step.UpTo, false: Pieces(asked)}[a.Rises]
		if rises := decimalOf(t, a.Step.Costs).GreaterThan(decimalOf(t, a.Step.Each)); int64(a.Step.UpTo) < from || int64(a.Step.UpTo) > to || a.Rises != rises || a.Make != make {
			t.Errorf("seed %d: %+v", seed, a)
		}
		if a.Rises {
			rises++
			if a.Step.Because != "" {
				causes++
			}
			// Only where the piece does not earn what it costs is it better left.
			says := fmt.Sprintf("Make %d, not %d: the %s costs %s", a.Make, a.Step.From, Ordinal(a.Step.From), decimalOf(t, a.Step.Costs).StringFixed(2))
			if decimalOf(t, a.Brings[0].Proceeds.Value).GreaterThan(decimalOf(t, a.Step.Costs)) {
				says = fmt.Sprintf("Make as many as sell: the %s costs %s", Ordinal(a.Step.From), decimalOf(t, a.Step.Costs).StringFixed(2))
			}
			if !strings.HasPrefix(a.Words, says) {
				t.Errorf("seed %d: %s, wanted %s", seed, a.Words, says)
			}
		}
		if a.Good != nil {
			good++
			n := int64(a.Good.Quantity)
			each := func(n int64) decimal.Decimal { return total(n).Div(decimal.New(n, 0)) }
			if each(n).Sub(decimalOf(t, a.Good.Value)).Abs().GreaterThan(decimal.New(1, -9)) || each(n).GreaterThanOrEqual(each(int64(a.Make))) || each(n+1).LessThanOrEqual(each(n)) {
				t.Errorf("seed %d: %d is no good number after %d", seed, n, a.Make)
			}
		}
	}
	if n := depth.Of(200); rises < n/4 || causes < rises/2 || good < n/4 {
		t.Errorf("%d of %d rise, %d with causes, %d have a next good number: too tame", rises, n, causes, good)
	}
}

// TestAdviceInWords holds the sentences of the demo.
func TestAdviceInWords(t *testing.T) {
	t.Parallel()
	b, high := demoWith(t), bom.Exactly(decimal.New(95, -2))
	for want, sel := range map[string]CurveRequest{
		"Make 41, not 42: the 42nd costs 196.94, a second bar; 85 is the next good number: 29.19 each.":                                                                    {Curves: []Selection{{Part: "HS-010"}}, Quantity: 45},
		"No step within a tenth of 100: each further piece adds at most ":                                                                                                  {Curves: []Selection{{Part: "HS-010"}}, Quantity: 100},
		"Make 106, not 107, unless all sell in own shop: the 107th costs 200.09, a sixth plate for desk base; it brings 214.00 in own shop and 166.60 in dealers; 193 is ": {Curves: []Selection{{Trim: "glow"}}, Quantity: 100},
		"Make 59, not 60: the 60th costs 61.31, a second load at nickel plate":                                                                                             {Curves: []Selection{{Part: "HS-020"}}, Quantity: 61},
		"Make as many as sell: the 60th costs 61.31, a second load at nickel plate; it brings ":                                                                            {Curves: []Selection{{Part: "HS-020", Margin: &high}}, Quantity: 61},
	} {
		sel.Day, sel.From, sel.To = "2026-11-25", 20, 220
		if a := mustCurve(t, b, sel).Curves[0].Advice; a == nil || !strings.HasPrefix(a.Words, want) {
			t.Errorf("%+v\nwanted %s", a, want)
		}
	}
	if a := mustCurve(t, b, CurveRequest{Day: "2026-11-25", Curves: []Selection{{Trim: "glow"}}, From: 95, To: 200, Quantity: 100}).Curves[0].Advice; a != nil {
		t.Errorf("advice on a curve that does not reach it: %s", a.Words)
	}
}

func TestOrdinals(t *testing.T) {
	t.Parallel()
	for n, want := range map[Pieces]string{1: "1st", 2: "2nd", 3: "3rd", 4: "4th", 11: "11th", 12: "12th", 13: "13th", 21: "21st", 97: "97th", 102: "102nd", 111: "111th", 1013: "1013th"} {
		if got := Ordinal(n); got != want {
			t.Errorf("%d is the %s", n, got)
		}
	}
	if got := ordinalWord(5) + " " + ordinalWord(13); got != "fifth 13th" {
		t.Error(got)
	}
}

// TestStepsInWords: what has no words of the workshop keeps those of the step.
func TestStepsInWords(t *testing.T) {
	t.Parallel()
	b := demoWith(t)
	for want, s := range map[string]CurveStep{
		"an eighth load at fit":                        {Figure: FigureName{Key: "part/HS-010/op/999/loads", Of: "fit"}, Is: "8", Was: "7"},
		"one bar fewer for heat sink":                  {Figure: FigureName{Key: "part/HS-010/stock-needed", Of: "heat sink"}, Is: "2", Was: "3"},
		"a third set-up at saw blanks":                 {Figure: FigureName{Key: "part/HS-010/op/10/setups"}, Is: "3", Was: "2"},
		"as it stands":                                 {Figure: FigureName{Key: "part/HS-010/x"}, Is: "3", Was: "2", Words: "as it stands"},
		"the minimum charge of nickel plate is passed": {Figure: FigureName{Key: "part/HS-020/op/10/lot-charge"}, Takes: &FigureName{Label: "lot charge before the minimum"}},
	} {
		if got := s.brief(b, false); got != want {
			t.Errorf("%q, wanted %q", got, want)
		}
	}
	if got := listed([]string{"a", "b", "c"}) + listed(nil); got != "a, b and c" {
		t.Error(got)
	}
}
