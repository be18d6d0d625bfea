package estimate_test

import (
	"strings"
	"testing"

	ft "kerfbook/costing/fractiontest"
)

// corded needs what is no piece: cord, foil, oil, glue by two users, minutes of a test.
const corded = `
parts:
  - {number: CORD, kind: bought, name: cord, counted_in: m, mass_g: 40}
  - {number: FOIL, kind: bought, name: foil, counted_in: dm2}
  - {number: OIL, kind: bought, name: oil, counted_in: ml}
  - {number: GLUE, kind: bought, name: glue, counted_in: g}
  - {number: TEST, kind: bought, name: hired test, counted_in: min}
  - {number: NAIL, kind: bought, name: nail, mass_g: 2}
  - {number: A, kind: assembly, name: plug, children: [{part: GLUE, quantity: 0.5, fitting_scrap: 0.2}, {part: NAIL, quantity: 3}]}
offers:
  - {for: CORD, supplier: S, unit: kg, currency: EUR, breaks: [{from: 1, price: 10}]}
  - {for: FOIL, supplier: S, unit: pack, pack_content: 50, currency: EUR, breaks: [{from: 1, price: 20}]}
  - {for: OIL, supplier: S, unit: pack, pack_content: 1000, currency: EUR, breaks: [{from: 1, price: 12}], leftover_value: 1}
  - {for: GLUE, supplier: S, unit: kg, currency: EUR, breaks: [{from: 0.1, price: 30}], multiple: 0.1}
  - {for: TEST, supplier: S, unit: pack, pack_content: 60, currency: EUR, breaks: [{from: 1, price: 90}], multiple: 0.25}
  - {for: NAIL, supplier: S, unit: kg, currency: EUR, breaks: [{from: 1, price: 8}]}
products:
  - number: X
    name: product X
    trims: [{id: only, name: Only}]
    positions:
      - {number: 10, part: CORD, quantity: 1.8}
      - {number: 20, part: FOIL, quantity: 2.25}
      - {number: 30, part: OIL, quantity: 0.7}
      - {number: 40, part: GLUE, quantity: 2}
      - {number: 50, part: TEST, quantity: 1.5}
      - {number: 60, part: A, quantity: 1}
`

// TestMeasures: what is no piece is needed to the last digit, and rounded once, at the
// order.
func TestMeasures(t *testing.T) {
	t.Parallel()
	s := smallSheet(t, smallBook(t, corded), 70)
	for key, want := range map[string]string{
		"part/CORD/need": "126", "part/CORD/each/bought": "0.4", // 40 g/m at 10 EUR/kg
		"part/FOIL/need": "157.5", "part/FOIL/order/S/order-cost": "80", // four packs of 50
		"part/FOIL/leftover":   "42.5",
		"part/OIL/each/bought": "0.012",                                 // the rest of the can is credited in full
		"part/GLUE/need":       "183.75", "part/GLUE/leftover": "16.25", // (2 + 0.5 ÷ 0.8) × 70, sold by 100 g
		"part/TEST/need": "105", "part/TEST/order/S/order-quantity": "1.75", "part/TEST/leftover": "0",
		"part/NAIL/need": "210", "part/NAIL/leftover": "0", "part/NAIL/each/bought": "0.016",
	} {
		ft.Same(t, key, s.key(key), ft.Rat(want))
	}
	// 50.40 cord, 80 foil, 0.588 oil, 6 glue, 157.50 test, 3.36 nails.
	almost(t, "bought parts of the batch", s.key("variant/only/each/bought"), ft.Over(ft.Rat("297.848"), ft.Rat("70")))
}

// TestMeasuresAreRefused where they do not go together with the rest.
func TestMeasuresAreRefused(t *testing.T) {
	t.Parallel()
	for _, c := range [][]string{
		{"half a nail", "part: NAIL, quantity: 3", "part: NAIL, quantity: 2.5", "2.5 must be a whole number", "children[1].quantity", "counted_in"},
		{"a range of plugs", "part: A, quantity: 1", "part: A, quantity: {low: 1, likely: 2, high: 3}", "positions[5].quantity", "a count is one whole number"},
		{"an assembly in m", "kind: assembly,", "kind: assembly, counted_in: m,", "counted_in", "counted by the piece"},
		{"work on glue", "counted_in: g", "counted_in: g, routing: [{number: 10, name: stir, kind: manual}]", "parts[3].routing", "no piece to work on"},
		{"glue by the metre", "GLUE, supplier: S, unit: kg", "GLUE, supplier: S, unit: m", "is not bought by m; use pack with pack_content, kg"},
		{"foil by weight", "FOIL, supplier: S, unit: pack, pack_content: 50", "FOIL, supplier: S, unit: kg", "enter mass_g"},
		{"no content", "pack_content: 60, ", "", "needs pack_content"},
		{"a content and no pack", "CORD, supplier: S, unit: kg", "CORD, supplier: S, unit: kg, pack_content: 3", "has no pack"},
		{"half a nail in a pack", "NAIL, supplier: S, unit: kg", "NAIL, supplier: S, unit: pack, pack_content: 2.5", "2.5 must be a whole number"},
	} {
		wantRefused(t, c[0], strings.Replace(corded, c[1], c[2], 1), c[3:]...)
	}
	if f := faults(t, corded); len(f) != 0 {
		t.Errorf("found: %v", f)
	}
}
