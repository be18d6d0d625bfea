package study

import (
	"testing"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/costing/book"
	"kerfbook/costing/book/booktest"
)

func sharedStock(t testing.TB) *book.Book { return booktest.Read(t, []byte(booktest.SharedStock)) }

// TestCurveOverSharedStock: how stock is cut into the blanks of several parts is found
// again at every quantity, so the curve is what a batch built for each of them costs.
func TestCurveOverSharedStock(t *testing.T) {
	t.Parallel()
	b := sharedStock(t)
	out := mustCurve(t, b, CurveRequest{Day: "2026-11-25", Curves: []Selection{{Trim: "only"}}, From: 1, To: 80, Quantity: 8, Breaks: 100})
	c := out.Curves[0]
	got := map[Pieces]string{c.Least.Quantity: c.Least.Value, 8: c.Figure.Value}
	for _, m := range c.Marks {
		got[m.Quantity] = m.Value
	}
	bars := 0
	for _, br := range c.Breaks {
		got[br.UpTo], got[br.From] = br.Before, br.After
		if len(br.Causes) == 0 {
			t.Errorf("nothing is named that steps after %d pieces", br.UpTo)
		}
		for _, cause := range br.Causes {
			if cause.Figure.Key == "stock/BAR/shared/pieces" {
				bars++
			}
		}
	}
	if len(got) < 10 || bars == 0 && len(c.Counted) == 0 {
		t.Errorf("%d quantities, %d breaks for another bar: too tame", len(got), bars)
	}
	var at []Pieces
	for q := range got {
		at = append(at, q)
	}
	for q, want := range fullCosts(t, b, "only", at...) {
		if got[q] != want {
			t.Errorf("%d pieces cost %s on the curve, %s when built", q, got[q], want)
		}
	}
	for _, p := range c.Points {
		if want, ok := fullCosts(t, b, "only", p.Quantity)[p.Quantity]; ok && decimalOf(t, p.Value).Sub(decimalOf(t, want)).Abs().InexactFloat64() > 1e-5 {
			t.Errorf("%d pieces are drawn at %s and cost %s", p.Quantity, p.Value, want)
		}
	}
}

// TestDrawOverSharedStock: the layout is found before a batch is made, and held while its
// yield is drawn.
func TestDrawOverSharedStock(t *testing.T) {
	t.Parallel()
	b := sharedStock(t)
	for _, mix := range []string{"only=8", "only=37"} {
		req := SpreadRequest{Batch: batchOf(t, b, mix), Draws: 2000, Seed: 1}
		req.Changes = []change.Change{{Key: "part/P1/blank-length", Value: "590"}}
		q, err := NewSpreading(t.Context(), change.OriginOf(answer.Of(b)), req)
		if err != nil {
			t.Fatal(err)
		}
		out, err := q.Answer(t.Context(), func(int, int) {})
		if err != nil {
			t.Fatal(err)
		}
		if f := out.Figures[1]; f.Deviation.Value == "0" || f.Undefined != 0 {
			t.Errorf("%s: %+v", mix, f)
		}
	}
}

// TestWhatIfOfSharedStock changes the bar, a blank and the batch: each is what a book
// with that number gives.
func TestWhatIfOfSharedStock(t *testing.T) {
	t.Parallel()
	b := sharedStock(t)
	mix := batchOf(t, b, "only=8").Mix
	for _, c := range []change.Change{{Key: "stock/BAR/length", Value: "3500"}, {Key: "book/stocks/BAR/length_mm", Value: "3500"},
		{Key: "part/P0/blank-length", Value: "1450"}, {Key: "mix/only", Value: "23"}} {
		what, err := change.OriginOf(answer.Of(b)).WhatIf(t.Context(), mix, "2026-11-25", []change.Change{c})
		if err != nil {
			t.Errorf("%s: %v", c.Key, err)
			continue
		}
		if what.After.Variants[0].Full.Value == what.Before.Variants[0].Full.Value {
			t.Errorf("%s = %s changes nothing", c.Key, c.Value)
		}
	}
}

// TestDifferenceOverSharedStock: the layout of each side is a decision that differs, and
// the shares add up.
func TestDifferenceOverSharedStock(t *testing.T) {
	t.Parallel()
	b := sharedStock(t)
	side := func(mix string) DifferenceSide { return DifferenceSide{Batch: batchOf(t, b, mix)} }
	out, err := Between(t.Context(), change.OriginOf(answer.Of(b)), DifferenceRequest{Before: side("only=8"), After: side("only=37")}, nil)
	if err != nil {
		t.Fatal(err)
	}
	sum, decisions := decimalOf(t, "0"), 0
	for _, s := range out.Shares {
		sum = sum.Add(decimalOf(t, s.Amount))
		if s.Kind == "decision" {
			decisions++
		}
	}
	if !sum.Equal(decimalOf(t, out.Difference)) || decisions == 0 {
		t.Errorf("%d decisions; shares come to %s of %s", decisions, sum, out.Difference)
	}
}
