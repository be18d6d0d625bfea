package estimate_test

import (
	"fmt"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph/exact"
)

// TestLeftOut sets the quantity of each position of the demo to 0, as who asks what the
// product costs without it: every price and landed price has a value, and where the
// product is complete without the position, that of the product without it.
func TestLeftOut(t *testing.T) {
	t.Parallel()
	b := demo(t)
	same := 0
	for _, p := range b.Products[0].Positions {
		est := build(t, b, one("tune"))
		id, asked := est.Graph.Find(fmt.Sprintf("product/LAMP/position/%d/quantity", p.Number))
		if !asked {
			continue // of another trim
		}
		without, err := exact.Evaluate(est.Graph, exact.Pins{id: decimal.Zero})
		if err != nil {
			t.Fatal(err)
		}
		said := demo(t)
		position(said, p.Number).Quantity = bom.Whole(0)
		zero := build(t, said, one("tune"))
		says(t, notes(zero), "is left out: its quantity is 0")
		if v, err := exact.Evaluate(zero.Graph, nil); err != nil || !v.Defined(zero.Variants[0].Full) {
			t.Errorf("position %d with a quantity of 0: no cost, %v", p.Number, err)
		}
		for _, c := range est.Variants[0].Prices {
			if _, err := without.Get(c.Shelf); err != nil {
				t.Errorf("position %d: %v", p.Number, err)
			}
		}
		for _, l := range est.Landed {
			if _, err := without.Get(l.BuyerClears.Total); err != nil {
				t.Errorf("position %d: %v", p.Number, err)
			}
		}
		less := demo(t)
		less.Products[0].Positions = slices.DeleteFunc(less.Products[0].Positions, func(q bom.Position) bool { return q.Number == p.Number })
		removed, err := estimate.Build(less, one("tune"), demoDay)
		if err != nil {
			continue // the product wants it
		}
		values, err := exact.Evaluate(removed.Graph, nil)
		if err != nil {
			t.Fatal(err)
		}
		same++
		for i, c := range est.Variants[0].Prices {
			got, _ := without.Get(c.Shelf)
			if want, err := values.Get(removed.Variants[0].Prices[i].Shelf); err != nil || !got.Equal(want) {
				t.Errorf("position %d: %s asked without it, %s (%v) when it is removed", p.Number, got, want, err)
			}
		}
	}
	if same < 6 {
		t.Errorf("only %d positions can be removed: too few to tell", same)
	}
}

func notes(est *estimate.Estimate) (out []string) {
	for _, f := range est.Graph.Findings() {
		out = append(out, f.Message)
	}
	return out
}
