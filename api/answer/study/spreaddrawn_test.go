package study

import (
	"reflect"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph/exact"
)

// TestSpreadOfADrawnPrice: draws of a batch whose prices rest on drawn costs are those of
// the batch on the likely cost, at the prices asked: nothing that the draws add is counted
// twice. What is given at the likely values is the exact figure there.
func TestSpreadOfADrawnPrice(t *testing.T) {
	t.Parallel()
	b, req := glow(t)
	likely := mustSpread(t, b, req)
	drawn, again := glow(t, "channel: direct, margin: 0.36", "channel: direct, margin: 0.36, rests_on: not exceeded in 99 of 100",
		"channel: dealer, margin: 0.20", "channel: dealer, margin: 0.20, rests_on: average")
	got := mustSpread(t, drawn, again)
	for i, f := range got.Figures {
		same := reflect.DeepEqual(f, likely.Figures[i])
		if f.Figure.Key != likely.Figures[i].Figure.Key || same == strings.HasSuffix(f.Figure.Key, "/margin") {
			t.Errorf("%s: the same figure %v", f.Figure.Key, same)
		}
	}
	e, err := answer.Of(b).Evaluate(t.Context(), estimate.NewMix("LAMP", decimal.NewFromInt(250), "glow"), "2026-11-25")
	if err != nil {
		t.Fatal(err)
	}
	for i, p := range e.Estimate.Variants[0].Prices {
		c := got.Channels[i]
		if c.Asked.Value == likely.Channels[i].Asked.Value || !reflect.DeepEqual(c.Prices, likely.Channels[i].Prices) {
			t.Errorf("%s: asked is %s, on the likely cost %s; prices with a chance %v", c.Channel, c.Asked.Value, likely.Channels[i].Asked.Value, c.Prices)
		}
		v, err := e.Evaluator().Evaluate(exact.Pins{e.Estimate.Variants[0].Quantity: decimal.NewFromInt(250), p.Shelf: decimal.RequireFromString(c.Asked.Value)})
		if err != nil {
			t.Fatal(err)
		}
		want, _ := v.Raw(p.Margin)
		for _, f := range got.Figures {
			if f.Figure.Key == e.Estimate.Graph.Key(p.Margin) && f.Figure.Value != want.String() {
				t.Errorf("%s: at the likely values the margin is %s, want %s", c.Channel, f.Figure.Value, want)
			}
		}
	}
	for _, h := range got.Held {
		if h.Figure.Key == "variant/glow/price/dealer/shelf-price" && h.Figure.Value == got.Channels[1].Asked.Value {
			return
		}
	}
	t.Errorf("the price asked is not among what is held: %v", got.Held)
}
