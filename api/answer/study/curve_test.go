package study

import (
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/graph"
)

func mustCurve(t testing.TB, b *book.Book, req CurveRequest) BatchCurves {
	t.Helper()
	out, err := Curves(t.Context(), change.OriginOf(answer.Of(b)), req)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// fullCosts prices a trim at quantities.
func fullCosts(t *testing.T, b *book.Book, trim string, at ...Pieces) map[Pieces]string {
	t.Helper()
	var quantities []decimal.Decimal
	for _, q := range at {
		quantities = append(quantities, decimal.New(int64(q), 0))
	}
	list, err := answer.Of(b).Price(t.Context(), answer.PriceRequest{Day: "2026-11-25", Trims: []bom.ID{bom.ID(trim)}, Quantities: quantities})
	if err != nil {
		t.Fatal(err)
	}
	out := map[Pieces]string{}
	for i, q := range at {
		out[q] = list.Estimates[i].Variants[0].Full.Value
	}
	return out
}

// TestCurveIsThePriceList: what a curve says exactly is what the price list says.
func TestCurveIsThePriceList(t *testing.T) {
	t.Parallel()
	b := demoWith(t)
	out := mustCurve(t, b, CurveRequest{Day: "2026-11-25", Curves: []Selection{{Trim: "glow"}}, From: 40, To: 180, Quantity: 120, Breaks: 4})
	c := out.Curves[0]
	got := map[Pieces]string{c.Least.Quantity: c.Least.Value, 120: c.Figure.Value}
	for _, m := range c.Marks {
		got[m.Quantity] = m.Value
	}
	for _, br := range c.Breaks {
		got[br.UpTo], got[br.From] = br.Before, br.After
		if br.From != br.UpTo+1 || len(br.Causes) == 0 || br.Causes[0].Words == "" || br.Effect == "" {
			t.Errorf("break %+v", br)
		}
	}
	var at []Pieces
	for q := range got {
		at = append(at, q)
	}
	for q, want := range fullCosts(t, b, "glow", at...) {
		if got[q] != want {
			t.Errorf("at %d the curve says %s, the price list %s", q, got[q], want)
		}
	}
	if len(c.Breaks) != 4 || c.AllBreaks < 10 || len(c.Points) != 141 || len(got) < 12 {
		t.Errorf("%d of %d breaks, %d points, %d compared", len(c.Breaks), c.AllBreaks, len(c.Points), len(got))
	}
	for i, p := range c.Points {
		if p.Quantity != Pieces(40+i) || number(t, p.Value) < number(t, c.Least.Value) {
			t.Errorf("point %d: %+v", i, p)
		}
	}
}

// TestRunsCoverTheRange: the stretches between breaks follow on one another.
func TestRunsCoverTheRange(t *testing.T) {
	t.Parallel()
	c := mustCurve(t, demoWith(t), CurveRequest{Day: "2026-11-25", Curves: []Selection{{Trim: "plain"}}, From: 3, To: 4000, Breaks: 1}).Curves[0]
	next := Pieces(3)
	points := map[Pieces]bool{}
	for _, p := range c.Points {
		points[p.Quantity] = true
	}
	for _, r := range c.Runs {
		if r.From != next || r.To < r.From || !points[r.From] || !points[r.To] {
			t.Fatalf("run %+v after %d", r, next-1)
		}
		next = r.To + 1
	}
	if next != 4001 || len(c.Points) > 3998 || Pieces(len(c.Runs)) != c.AllBreaks+1 {
		t.Errorf("ends at %d; %d points, %d runs, %d breaks", next-1, len(c.Points), len(c.Runs), c.AllBreaks)
	}
}

// TestCurvesCross: a variant that is made dearer by piece and cheaper by set-up
// crosses itself, and the price list says the same on both sides.
func TestCurvesCross(t *testing.T) {
	t.Parallel()
	b := demoWith(t)
	changed := []change.Change{{Key: "part/HS-010/op/30/setup-time", Value: "120"}, {Key: "part/HS-010/op/30/load-handling", Value: "0.2"}}
	out := mustCurve(t, b, CurveRequest{Day: "2026-11-25", Curves: []Selection{{Trim: "glow"}, {Trim: "glow", Changes: changed}}, From: 50, To: 2000, Breaks: 1})
	x := out.Crossing
	if x == nil || len(x.Crossings) == 0 || len(x.Stretches) < 2 || x.Stretches[0].Lower != LowerFirst || x.Stretches[len(x.Stretches)-1].Lower != LowerSecond {
		t.Fatalf("crossing %+v", x)
	}
	costs := fullCosts(t, b, "glow", x.Crossings[0].UpTo, x.Crossings[0].From)
	for _, v := range x.Crossings[0].Values {
		if v.First != costs[v.Quantity] {
			t.Errorf("at %d the first is %s, the price list says %s", v.Quantity, v.First, costs[v.Quantity])
		}
	}
	if before, after := x.Crossings[0].Values[0], x.Crossings[0].Values[1]; number(t, before.First) >= number(t, before.Second) || number(t, after.First) <= number(t, after.Second) {
		t.Errorf("it does not cross: %+v", x.Crossings[0])
	}
	if len(out.Curves[1].Changes) != 2 {
		t.Errorf("changes %+v", out.Curves[1].Changes)
	}
}

// TestPayBackEarnsNothing: at the price point that pays a batch back the profit is
// not negative, and one step lower it is.
func TestPayBackEarnsNothing(t *testing.T) {
	t.Parallel()
	b := demoWith(t)
	p := mustCurve(t, b, CurveRequest{Day: "2026-11-25", Curves: []Selection{{Trim: "glow"}}, From: 10, To: 300, Quantity: 250}).Curves[0].PayBack[0]
	for price, earns := range map[string]bool{p.Point: true, decimalOf(t, p.Point).Sub(decimal.New(10, 0)).String(): false} {
		entered := demoWith(t, "{product: LAMP, channel: direct, margin: 0.36}", "{product: LAMP, channel: direct, shelf_price: "+price+"}")
		list, err := answer.Of(entered).Price(t.Context(), answer.PriceRequest{Day: "2026-11-25", Trims: []bom.ID{"glow"}, Quantities: []decimal.Decimal{decimal.New(250, 0)}})
		if err != nil {
			t.Fatal(err)
		}
		profit := list.Estimates[0].Variants[0].Channels[0].Profit
		if earning := !strings.HasPrefix(profit.Value, "-"); earning != earns {
			t.Errorf("at %s the profit is %s", price, profit.Value)
		}
	}
	if p.Sell == "" || !p.Pays {
		t.Errorf("%+v", p)
	}
}

func TestBadCurves(t *testing.T) {
	t.Parallel()
	b := demoWith(t)
	for what, c := range map[string]struct {
		change  func(r *CurveRequest)
		pointer string
	}{
		"no variant":     {func(r *CurveRequest) { r.Curves = nil }, "/curves"},
		"three variants": {func(r *CurveRequest) { r.Curves = make([]Selection, 3) }, "/curves"},
		"no such trim":   {func(r *CurveRequest) { r.Curves[0].Trim = "shiny" }, "/curves/0/trim"},
		"no such figure": {func(r *CurveRequest) { r.Curves[0].Figure = "x" }, "/curves/0/figure"},
		"no such change": {func(r *CurveRequest) { r.Curves[0].Changes = []change.Change{{Key: "x", Value: "1"}} }, "/curves/0/changes/0/key"},
		"backwards":      {func(r *CurveRequest) { r.To = 5 }, "/to"},
		"from nothing":   {func(r *CurveRequest) { r.From, r.Quantity = 0, 1 }, "/from"},
		"too far":        {func(r *CurveRequest) { r.To = 30_000 }, "/to"},
		"a mark outside": {func(r *CurveRequest) { r.Marks = []int64{20, 7} }, "/marks/1"},
		"many breaks":    {func(r *CurveRequest) { r.Breaks = 201 }, "/breaks"},
		"other units":    {func(r *CurveRequest) { r.Curves = append(r.Curves, Selection{Trim: "plain", Figure: "mix/plain"}) }, "/curves/1"},
	} {
		t.Run(what, func(t *testing.T) {
			t.Parallel()
			req := CurveRequest{Day: "2026-11-25", Curves: []Selection{{Trim: "glow"}}, From: 10, To: 40}
			c.change(&req)
			_, err := Curves(t.Context(), change.OriginOf(answer.Of(b)), req)
			e, _ := err.(*answer.Error)
			if e == nil || e.Code != answer.Invalid || len(e.Fields) != 1 || e.Fields[0].Pointer != c.pointer || e.Fields[0].Message == "" {
				t.Errorf("%v, %+v", err, e)
			}
		})
	}
}

// TestCurveOfAnotherDecision changes an input that a decision was taken for beyond
// what it holds for: the decision is taken anew, and the curve is that of the
// changed book.
func TestCurveOfAnotherDecision(t *testing.T) {
	t.Parallel()
	b := demoWith(t)
	mix := batchOf(t, b, "glow=120").Mix
	before, err := answer.Of(b).Evaluate(t.Context(), mix, "2026-11-25")
	if err != nil {
		t.Fatal(err)
	}
	key, value := beyondDecision(t, before)
	req := CurveRequest{Day: "2026-11-25", Curves: []Selection{{Trim: "glow", Changes: []change.Change{{Key: key, Value: value}}}}, From: 100, To: 140, Quantity: 120, Breaks: 1}
	c := mustCurve(t, b, req).Curves[0]
	what, err := change.OriginOf(answer.Of(b)).WhatIf(t.Context(), mix, "2026-11-25", req.Curves[0].Changes)
	if err != nil {
		t.Fatal(err)
	}
	if want := what.After.Variants[0].Full.Value; c.Rebuilt != what.Rebuilt || c.Figure.Value != want {
		t.Errorf("%s = %s: rebuilt %t, %s instead of %s", key, value, c.Rebuilt, c.Figure.Value, want)
	}
	for _, p := range c.Points {
		if p.Quantity == 120 && decimalOf(t, p.Value).Sub(decimalOf(t, c.Figure.Value)).Abs().GreaterThan(decimal.New(1, -5)) {
			t.Errorf("the curve is at %s where the figure is %s", p.Value, c.Figure.Value)
		}
	}
}

// beyondDecision gives an input of the book with a value that a decision does not
// hold for, and that a book may have.
func beyondDecision(t *testing.T, e *answer.Evaluation) (key, value string) {
	t.Helper()
	g := e.Estimate.Graph
	for id := range graph.ID(g.Len()) {
		n := g.Node(id)
		if n.Decision == nil || !strings.HasPrefix(n.Key, "part/") {
			continue
		}
		for _, w := range n.Decision.Valid {
			if in := g.Node(w.Input); in.Kind == graph.Input && in.Source.Path != "" && strings.Contains(in.Key, "kerf") {
				return in.Key, in.Value.Add(decimal.New(1, -1)).String()
			}
		}
	}
	t.Fatal("the demo has no decision about blanks")
	return "", ""
}
