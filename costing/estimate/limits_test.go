package estimate_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"kerfbook/costing/estimate"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
)

// routed is a product whose routing has a number of operations at one bench, and
// that has a parcel.
func routed(operations int) string {
	var b strings.Builder
	b.WriteString(`
parts: [{number: P, kind: bought, revision: A, name: p}]
offers: [{for: P, supplier: S, unit: piece, currency: EUR, breaks: [{from: 1, price: 3}]}]
work_centres: [{id: B, name: bench, machines: 1, machine_rate_per_h: 60}]
products:
  - number: X
    revision: A
    name: product X
    parcel: {length_mm: 10, width_mm: 10, height_mm: 10, mass_g: 100}
    trims: [{id: only, name: Only}]
    positions: [{number: 1, part: P, quantity: 1}]
    routing:
`)
	for i := range operations {
		fmt.Fprintf(&b, "      - {number: %d, name: o, kind: manual, work_centre: B, piece_min: 1}\n", 10*(i+1))
	}
	b.WriteString(`channels: [{id: shop, name: own shop}]
prices: [{product: X, channel: shop, shelf_price: 100}]
carriers: [{id: C, name: carrier, currency: EUR, length_unit: cm, mass_unit: kg, zones: [{id: z, places: ["PT"], bands: [{up_to: 5, price: 3}]}]}]
destinations: [{country: "PT", carrier: C}]
`)
	return b.String()
}

// TestManyOperationsAtOneWorkCentre: sums have as many terms as the shop needs.
func TestManyOperationsAtOneWorkCentre(t *testing.T) {
	t.Parallel()
	s := smallSheet(t, smallBook(t, routed(777)), 2)
	ft.Same(t, "full cost", s.rat(s.est.Variants[0].Full), ft.Rat("780"))
	ft.Same(t, "time at the bench", s.key("work-centre/B/occupied"), ft.Rat("1554"))
}

// TestManyParts: a product may consist of more parts than a node has arguments.
func TestManyParts(t *testing.T) {
	t.Parallel()
	var parts, offers, positions strings.Builder
	for i := 1; i <= 300; i++ {
		fmt.Fprintf(&parts, "  - {number: P%d, kind: bought, revision: A, name: p}\n", i)
		fmt.Fprintf(&offers, "  - {for: P%d, supplier: S, unit: piece, currency: EUR, breaks: [{from: 1, price: %d}]}\n", i, i)
		fmt.Fprintf(&positions, "      - {number: %d, part: P%d, quantity: 1}\n", i, i)
	}
	records := "parts:\n" + parts.String() + "offers:\n" + offers.String() +
		"products:\n  - number: X\n    revision: A\n    name: product X\n    trims: [{id: only, name: Only}]\n    positions:\n" + positions.String()
	s := smallSheet(t, smallBook(t, records), 3)
	ft.Same(t, "full cost", s.rat(s.est.Variants[0].Full), ft.Rat("45150"))
}

// TestBeyondTheLimit: a book with more figures than are estimated is refused for
// that, at the field it came to, and not for what could not be built any more.
func TestBeyondTheLimit(t *testing.T) {
	t.Parallel()
	b := smallBook(t, routed(2))
	ops := &b.Products[0].Routing
	for i := range 400 {
		op := (*ops)[1]
		op.Number += 10 * (i + 1)
		*ops = append(*ops, op)
	}
	_, err := estimate.BuildWithin(b, smallMix(), demoDay, 2000)
	var f *graph.FaultError
	if !errors.As(err, &f) || f.Kind != graph.TooLarge || !strings.HasPrefix(f.Path, "products[0].routing[") {
		t.Fatalf("%.300v, %+v", err, f)
	}
	if text := err.Error(); !strings.Contains(text, "more than 2000 figures in one estimate") || !strings.Contains(text, "fewer trims") || strings.Contains(text, "parcel") {
		t.Errorf("refused with %.500s", text)
	}
}
