package study

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/costing/ask/simulate"
	"kerfbook/costing/book"
	"kerfbook/costing/graph"
	"kerfbook/testdata"
)

// demoWith is the demo book with some of its text replaced, in pairs.
func demoWith(t testing.TB, replaced ...string) *book.Book {
	t.Helper()
	text := string(testdata.Demo)
	for i := 0; i < len(replaced); i += 2 {
		if !strings.Contains(text, replaced[i]) {
			t.Fatalf("the demo book does not hold %q", replaced[i])
		}
		text = strings.Replace(text, replaced[i], replaced[i+1], 1)
	}
	b, _, err := book.Parse([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func batchOf(t testing.TB, b *book.Book, mix string) change.Batch {
	t.Helper()
	lines, err := answer.ParseMix(b, mix)
	if err != nil {
		t.Fatal(err)
	}
	return change.Batch{Mix: lines, Day: "2026-11-25"}
}

// glow asks about 250 lamps of the demo book, with some of its text replaced.
func glow(t testing.TB, replaced ...string) (*book.Book, SpreadRequest) {
	t.Helper()
	b := demoWith(t, replaced...)
	return b, SpreadRequest{Batch: batchOf(t, b, "glow=250"), Draws: 20_000, Seed: 1}
}

func mustSpread(t testing.TB, b *book.Book, req SpreadRequest) Spread {
	t.Helper()
	q, err := NewSpreading(t.Context(), change.OriginOf(answer.Of(b)), req)
	if err != nil {
		t.Fatal(err)
	}
	out, err := q.Answer(t.Context(), func(int, int) {})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func number(t testing.TB, text string) float64 {
	t.Helper()
	v, ok := Statistic{Value: text}.Number()
	if !ok {
		t.Fatalf("%q is no number", text)
	}
	return v
}

func decimalOf(t testing.TB, text string) decimal.Decimal {
	t.Helper()
	d, err := decimal.NewFromString(text)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// TestPriceAndChanceAgree asks for prices that meet the margin with a chance, then
// for the chance at those prices: it is the same, to one draw and the digits that
// a price is written with.
func TestPriceAndChanceAgree(t *testing.T) {
	t.Parallel()
	b, req := glow(t)
	odd := decimal.New(73, -2)
	req.Prices = []PriceQuestion{{Chance: &odd}}
	first := mustSpread(t, b, req)
	req.Prices = nil
	for _, c := range first.Channels {
		if len(c.Prices) != 5 || c.Why != "" {
			t.Fatalf("%s: %+v", c.Channel, c)
		}
		for _, p := range c.Prices {
			price := decimalOf(t, p.Price.Value)
			req.Prices = append(req.Prices, PriceQuestion{Trim: "glow", Channel: c.Channel, Price: &price})
		}
	}
	for i, c := range mustSpread(t, b, req).Channels {
		if len(c.At) != 5 {
			t.Fatalf("%s: %d chances", c.Channel, len(c.At))
		}
		for j, a := range c.At {
			want := number(t, first.Channels[i].Prices[j].Chance)
			if got := number(t, a.Chance.Value); math.Abs(got-want) > 2/float64(first.Draws) {
				t.Errorf("%s: the chance at %s is %v, asked for was %v", c.Channel, a.Price, got, want)
			}
		}
	}
}

// TestChanceAtTheAskedPrice holds the chance against the figures: of the draws of
// the price that would be required, those not above the price asked.
func TestChanceAtTheAskedPrice(t *testing.T) {
	t.Parallel()
	b, req := glow(t)
	req.Figures = []string{"variant/glow/price/dealer/gross-wanted", "variant/glow/price/dealer/margin"}
	s := mustSpread(t, b, req)
	dealer := s.Channels[1]
	asked := number(t, dealer.Asked.Value)
	below := 0.0
	for _, p := range s.Figures[0].Curve {
		if number(t, p.Value) <= asked {
			below = number(t, p.Share)
		}
	}
	chance := number(t, dealer.Chance.Value)
	if math.Abs(below-chance) > 0.05 || chance < 0.02 || chance > 0.98 {
		t.Errorf("the chance is %v, the cumulative curve says %v", chance, below)
	}
	// The margin at the price asked meets the one wanted with the same chance.
	wanted := number(t, dealer.Wanted.Value)
	missed := 0.0
	for _, p := range s.Figures[1].Curve {
		if number(t, p.Value) < wanted {
			missed = number(t, p.Share)
		}
	}
	if math.Abs(1-missed-chance) > 0.05 {
		t.Errorf("the margin is met with %v, the chance is %v", 1-missed, chance)
	}
	if m := s.Figures[1]; number(t, m.Lowest) >= wanted || number(t, m.Highest) <= wanted {
		t.Errorf("the margin at the price asked lies between %s and %s, the one wanted is %v", m.Lowest, m.Highest, wanted)
	}
}

// TestEnteredPrices: beside an entered price with a margin wanted the chance is
// that the cost stays within what the price allows; without one there is none.
func TestEnteredPrices(t *testing.T) {
	t.Parallel()
	const direct = "{product: LAMP, channel: direct, margin: 0.36}"
	b, req := glow(t, direct, "{product: LAMP, channel: direct, shelf_price: 249.90, margin: 0.36}",
		"{product: LAMP, channel: dealer, margin: 0.20}", "{product: LAMP, channel: dealer, list_price: 200}")
	s := mustSpread(t, b, req)
	got, without := s.Channels[0], s.Channels[1]
	if without.Why == "" || without.Chance != nil || without.Prices != nil {
		t.Errorf("an entered price without a margin: %+v", without)
	}
	if got.Asked.Value != "249.9" || got.Wanted.Value != "0.36" || got.Prices[0].Point != "" {
		t.Errorf("%+v", got)
	}
	e, err := answer.Of(b).Evaluate(t.Context(), req.Mix, "2026-11-25")
	if err != nil {
		t.Fatal(err)
	}
	gap, _ := e.Estimate.Graph.Find("variant/glow/price/direct/cost-gap")
	r, err := simulate.Run(t.Context(), e.Evaluator(), simulate.Request{Outputs: []graph.ID{gap}, Draws: 20_000, Seed: 1, Hold: e.Quantities(req.Mix)}, func(int, int) {})
	if err != nil {
		t.Fatal(err)
	}
	want := r.Outputs[0].AtMost(0).Value
	if chance := number(t, got.Chance.Value); math.Abs(chance-want) > 1.5/float64(s.Draws) || want < 0.02 || want > 0.98 {
		t.Errorf("the chance is %v; the cost is within what the price allows with %v", chance, want)
	}
}

// TestNothingVaries: without a range a margin is met for certain or not at all,
// and all of it is exact.
func TestNothingVaries(t *testing.T) {
	t.Parallel()
	b, req := glow(t)
	for _, in := range mustSpread(t, b, req).Inputs {
		req.Changes = append(req.Changes, change.Change{Key: in.Input.Key, Value: in.Input.Value})
	}
	if len(req.Changes) < 8 {
		t.Fatalf("only %d ranges", len(req.Changes))
	}
	s := mustSpread(t, b, req)
	if s.Draws != 0 || len(s.Inputs) != 0 || len(s.Changes) != len(req.Changes) {
		t.Errorf("%d draws of %d inputs, %d changes", s.Draws, len(s.Inputs), len(s.Changes))
	}
	direct := s.Channels[0]
	exactly := decimalOf(t, direct.Prices[0].Price.Value)
	less := exactly.Sub(decimal.New(1, -20))
	req.Prices = []PriceQuestion{{Channel: "direct", Price: &exactly}, {Channel: "direct", Price: &less}}
	direct = mustSpread(t, b, req).Channels[0]
	if direct.Chance.Value != "1" || direct.At[0].Chance.Value != "1" || direct.At[1].Chance.Value != "0" {
		t.Errorf("%+v", direct)
	}
	if len(s.Movers.Tornado)+len(s.Movers.Shares) != 0 || s.Figures[0].Varies {
		t.Errorf("something moves: %+v", s.Movers)
	}
}

// TestDestinationsAtThePriceAsked: a buyer abroad has been told the price, all paid, and
// it is known as what the parcel goes; what is left of it follows the draws.
func TestDestinationsAtThePriceAsked(t *testing.T) {
	t.Parallel()
	b, req := glow(t)
	const at = "destination/GB/glow/all-paid/"
	req.Figures = []string{at + "price", at + "profit"}
	for _, hindsight := range []bool{false, true} {
		req.Hindsight = hindsight
		out := mustSpread(t, b, req)
		if out.Figures[0].Varies || !out.Figures[1].Varies {
			t.Errorf("the price varies: %t, the profit: %t", out.Figures[0].Varies, out.Figures[1].Varies)
		}
		held := map[string]string{}
		for _, h := range out.Held {
			held[h.Figure.Key] = h.Choice + "/" + h.Figure.Value
		}
		if held[at+"price-of-one"] != "/269" || !hindsight && held[at+"regime"] != "ordinary import/2" {
			t.Errorf("hindsight %t: held are %v", hindsight, held)
		}
	}
}

// TestChangedInputIsHeld: a range at another value varies no more, and the likely
// figures are those of the changed batch.
func TestChangedInputIsHeld(t *testing.T) {
	t.Parallel()
	b, req := glow(t)
	req.Changes = []change.Change{{Key: "exchange/selling/USD-EUR", Value: "0.88"}}
	s := mustSpread(t, b, req)
	for _, in := range s.Inputs {
		if in.Input.Key == "exchange/selling/USD-EUR" {
			t.Error("a held input varies")
		}
	}
	what, err := change.OriginOf(answer.Of(b)).WhatIf(t.Context(), req.Mix, req.Day, req.Changes)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := s.Figures[1].Figure, what.After.Variants[0].Full; got.Value != want.Value || got.Key != want.Key {
		t.Errorf("full cost %+v, want %+v", got, want)
	}
}

// TestCorrelatedInputsShareTogether: their variance share is that of the group.
func TestCorrelatedInputsShareTogether(t *testing.T) {
	t.Parallel()
	b, req := glow(t)
	alone := mustSpread(t, b, req)
	req.Correlations = []RankCorrelation{{"cutting/copper.end_mill.carbide/speed", "cutting/copper.slitting_saw.carbide/speed", decimal.New(9, -1)}}
	joined := mustSpread(t, b, req)
	group := 0
	for _, s := range joined.Movers.Shares {
		if len(s.Inputs) == 2 {
			group++
		}
	}
	if group != 1 || len(joined.Movers.Shares) != len(alone.Movers.Shares)-1 {
		t.Errorf("%d groups among %d shares, %d without correlation", group, len(joined.Movers.Shares), len(alone.Movers.Shares))
	}
	if number(t, joined.Figures[1].Deviation.Value) <= number(t, alone.Figures[1].Deviation.Value) {
		t.Error("two speeds that are low together do not widen the spread")
	}
}

// TestBadSpreads names every fault with its place.
func TestBadSpreads(t *testing.T) {
	t.Parallel()
	b, asked := glow(t)
	const fins, base, polish = "cutting/copper.slitting_saw.carbide/speed", "cutting/copper.end_mill.carbide/speed", "part/HS-010/op/40/piece-time"
	zero, two := decimal.Zero, decimal.New(2, 0)
	for what, c := range map[string]struct {
		change  func(r *SpreadRequest)
		pointer string
		says    string
	}{
		"no draws":        {func(r *SpreadRequest) { r.Draws = 0 }, "/draws", "1 or more"},
		"10^9 draws":      {func(r *SpreadRequest) { r.Draws = 1_000_000_000 }, "/draws", "at most 10000000"},
		"unknown figure":  {func(r *SpreadRequest) { r.Figures = []string{fins, "variant/glow/ful"} }, "/figures/1", "no figure"},
		"figure twice":    {func(r *SpreadRequest) { r.Figures = []string{fins, fins} }, "/figures/1", "twice"},
		"unknown movers":  {func(r *SpreadRequest) { r.Movers = "x" }, "/movers", "no figure"},
		"no such channel": {func(r *SpreadRequest) { r.Prices = []PriceQuestion{{Channel: "fair", Price: &two}} }, "/prices/0/channel", "fair"},
		"no price":        {func(r *SpreadRequest) { r.Prices = []PriceQuestion{{Channel: "direct", Price: &zero}} }, "/prices/0/price", "more than 0"},
		"no chance":       {func(r *SpreadRequest) { r.Prices = []PriceQuestion{{Chance: &two}} }, "/prices/0/chance", "between 0 and 1"},
		"no question":     {func(r *SpreadRequest) { r.Prices = []PriceQuestion{{}} }, "/prices/0", "nothing"},
		"no quantile":     {func(r *SpreadRequest) { r.Precision = &SpreadPrecision{Quantile: two, Relative: two} }, "/precision/quantile", "between 0 and 1"},
		"no precision":    {func(r *SpreadRequest) { r.Precision = &SpreadPrecision{Quantile: decimal.New(5, -1)} }, "/precision/relative", "above 0"},
		"a count":         {func(r *SpreadRequest) { r.Correlations = []RankCorrelation{{fins, "mix/glow", two}} }, "/correlations/0/b", "not a range"},
		"with itself":     {func(r *SpreadRequest) { r.Correlations = []RankCorrelation{{fins, fins, zero}} }, "/correlations/0", "two different"},
		"a rank of 2":     {func(r *SpreadRequest) { r.Correlations = []RankCorrelation{{fins, base, two}} }, "/correlations/0/rank", "between −1 and 1"},
		"contradiction": {func(r *SpreadRequest) {
			high, low := decimal.New(9, -1), decimal.New(-9, -1)
			r.Correlations = []RankCorrelation{{fins, base, high}, {base, polish, high}, {fins, polish, low}}
		}, "/correlations", "contradict"},
		"unknown change": {func(r *SpreadRequest) { r.Changes = []change.Change{{Key: "x", Value: "1"}} }, "/changes/0/key", "no figure"},
		"bad change":     {func(r *SpreadRequest) { r.Changes = []change.Change{{Key: "mix/glow", Value: "ten"}} }, "/changes/0/value", ""},
	} {
		t.Run(what, func(t *testing.T) {
			t.Parallel()
			req := asked
			c.change(&req)
			q, err := NewSpreading(t.Context(), change.OriginOf(answer.Of(b)), req)
			if err == nil {
				_, err = q.Answer(t.Context(), func(int, int) {})
			}
			e, _ := err.(*answer.Error)
			if e == nil || e.Code != answer.Invalid || len(e.Fields) != 1 || e.Fields[0].Pointer != c.pointer || !strings.Contains(e.Fields[0].Message, c.says) {
				t.Errorf("%v", err)
			}
		})
	}
}

// TestFaultsOfDrawsAreOurs: a panic in a goroutine that draws is a fault of the
// server, whose stack is for the log alone.
func TestFaultsOfDrawsAreOurs(t *testing.T) {
	t.Parallel()
	err := (&spreading{}).fault(&simulate.PanicError{Kind: "string", Stack: []byte("where it was")})
	var told *answer.Error
	if !errors.As(err, &told) || told.Code != answer.Internal || strings.Contains(told.Message, "where") || !strings.Contains(err.Error(), "where it was") {
		t.Errorf("%v", err)
	}
}
