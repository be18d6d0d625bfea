package study

import (
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/bom"
	"kerfbook/costing/book/booktest"
	"kerfbook/costing/making/guess"
)

const knobText = `kerfbook: 1
name: shop
country: PT
currency: GBP
rate_cards: [{id: r, from: 2026-01-01, source: x, exchange: [{from: EUR, to: GBP, kind: buying, rate: 0.85, source: x}]}]
work_centres: [{id: LATHE, name: lathe, machine_rate_per_h: 58, labour_rate_per_h: 0}]
parts:
  - number: KNOB
    name: brass knob
    kind: made
    finished: {length_mm: 22, diameter_mm: 20}
    first_guess: {way: turned, material: brass, work_centre: LATHE}
`

func bandOf(t *testing.T, def *bom.Part) Band {
	t.Helper()
	b := booktest.Read(t, []byte(knobText))
	if def != nil {
		b.Parts[0] = *def
	}
	band, err := DrawBand(t.Context(), change.OriginOf(answer.Of(b)), BandRequest{"KNOB", 100, "2026-11-25"})
	if err != nil {
		t.Fatal(err)
	}
	return band
}

// finishedText is the knob with hands of its own wage and a finish at starter prices.
var finishedText = strings.NewReplacer("labour_rate_per_h: 0", "labour_rate_per_h: 31", "parts:", `suppliers: [{id: F, name: finisher}]
outside_processes: [{id: PLATE, name: plating, supplier: F, currency: EUR, minimum: {low: 60, likely: 120, high: 250}, price_per_dm2: {low: 0.4, likely: 0.9, high: 2.5}, source: starter plating; from memory}]
parts:`).Replace(knobText) + `    routing: [{number: 10, name: turn, kind: machining, work_centre: LATHE}, {number: 20, name: edges, kind: manual, work_centre: LATHE}, {number: 30, name: plate, kind: outside, treatment: {process: PLATE}}]
`

// TestWhatMovesIsOfAnOperation: minutes that two operations have are told apart.
func TestWhatMovesIsOfAnOperation(t *testing.T) {
	t.Parallel()
	routing := []bom.Operation{{Number: 1, Name: "turning"}, {Number: 10, Name: "packing"}}
	for key, want := range map[string]string{"part/P/op/1/piece-time": ", turning", "part/P/op/10/piece-time": ", packing", "part/P/guess/hand-time": "", "part/P/op/100/piece-time": ""} {
		if got := ofOperation(routing, key); got != want {
			t.Errorf("%s: %q", key, got)
		}
	}
}

// TestPromisesOfAFinish: prices of a finish are asked like what is guessed of the part; what
// an answer promises lies within the band, in whatever order all are given, down to a
// part of which nothing is asked and the share of time that its machine is attended is left.
func TestPromisesOfAFinish(t *testing.T) {
	t.Parallel()
	b := booktest.Read(t, []byte(finishedText))
	asked := 0
	for last := 0.0; ; asked++ {
		now, err := DrawBand(t.Context(), change.OriginOf(answer.Of(b)), BandRequest{"KNOB", 100, "2026-11-25"})
		if err != nil {
			t.Fatal(err)
		}
		if asked > 0 && now.Apart() > last*1.01 {
			t.Errorf("after %d answers the band is %g wide, and was %g", asked, now.Apart(), last)
		}
		if last = now.Apart(); len(now.Questions) == 0 {
			if !slices.Contains(now.Left, "share of the machine's time that a person is tied to it") {
				t.Errorf("what is left is %v", now.Left)
			}
			break
		}
		for _, q := range now.Questions {
			low, _ := q.Answered.Low.Number()
			high, _ := q.Answered.High.Number()
			from, _ := now.Low.Number()
			to, _ := now.High.Number()
			if low < 0.99*from || high > 1.01*to {
				t.Errorf("after %d answers %s promises %g to %g, outside %g to %g", asked, q.Field, low, high, from, to)
			}
		}
		q := now.Questions[len(now.Questions)-1] // what narrows least
		b = change.AnsweredIn(b, 0, change.GuessAnswer{Field: q.Field, Value: bom.Exactly(decimal.RequireFromString(q.Guessed.Middle.Value))})
	}
	if asked != 6 {
		t.Errorf("%d questions were asked", asked)
	}
}

// TestBand: the number in the middle of a band has half of the draws below it, while the sum
// of likely values has far fewer, which is said; the questions come widest first, each
// with what is guessed in the unit of its answer, and a price in the money of the book;
// answered one by one by what was expected, the band becomes what was said, until
// nothing is asked.
func TestBand(t *testing.T) {
	t.Parallel()
	b := booktest.Read(t, []byte(knobText))
	def := &b.Parts[0]
	now := bandOf(t, def)
	if share, _ := now.AtMostLikely.Number(); share > 0.25 || share < 0.02 {
		t.Errorf("%g of the draws are at most the likely cost", share)
	}
	price := 0.0
	for fields := ""; len(now.Questions) > 0; {
		last := 0.0
		for _, q := range now.Questions {
			if q.Answered.Apart() < last || q.Guessed.Apart() <= 0 {
				t.Errorf("after %q %s makes the band %g wide, the one before %g", fields, q.Field, q.Answered.Apart(), last)
			}
			last = q.Answered.Apart()
			within := func(now, then Statistic, sign float64) bool {
				a, _ := now.Number()
				b, _ := then.Number()
				return (b-a)*sign < 0.01*a
			}
			if !within(now.Low, q.Answered.Low, -1) || !within(now.High, q.Answered.High, 1) {
				t.Errorf("after %q %s promises %v, outside %v", fields, q.Field, q.Answered, now.Width)
			}
			if q.Field == guess.PricePerKg {
				price, _ = q.Guessed.Middle.Number()
				if q.Unit != "GBP a kilogram" {
					t.Errorf("a price in %s", q.Unit)
				}
			}
		}
		q := now.Questions[0]
		as := guess.Question{Unit: strings.Fields(q.Unit)[0]}
		answered, ok := guess.Answered(def, q.Field, as.Typed(decimal.RequireFromString(q.Guessed.Middle.Value)))
		if !ok {
			t.Fatalf("%s is not asked", q.Field)
		}
		def, fields = &answered, fields+q.Field+" "
		if now = bandOf(t, def); now.Width != q.Answered {
			t.Errorf("after %q the band is %+v, and was said to become %+v", fields, now.Width, q.Answered)
		}
		if len(now.Questions) == 0 && len(strings.Fields(fields)) != 5 {
			t.Errorf("asked were %s", fields)
		}
	}
	if price < 0.85*7 || price > 0.85*9.5 {
		t.Errorf("a kilogram of brass is guessed at %g", price)
	}
	if _, ok := guess.Answered(def, guess.SetupMin, bom.Whole(3)); ok {
		t.Error("a set-up that is entered is asked for")
	}
}
