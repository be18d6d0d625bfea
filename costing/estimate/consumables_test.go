package estimate_test

import (
	"strings"
	"testing"

	ft "kerfbook/costing/fractiontest"
)

// TestConsumables: coolant by the occupied hour and wipes by the piece, of 10 pieces that
// take 12 minutes after a set-up of 30, and no more than the work centre asks.
func TestConsumables(t *testing.T) {
	t.Parallel()
	const text = `
work_centres: [{id: SAW, name: saw, machines: 1, machine_rate_per_h: 20, labour_rate_per_h: 30, consumables_per_h: 1.6, consumables_per_piece: 0.05}]
parts:
  - {number: P, name: pin, kind: bought}
  - {number: A, name: pair, kind: assembly, children: [{part: P, quantity: 1}], routing: [{number: 10, name: saw, kind: machining, work_centre: SAW, setup_min: 30, cutting_min: 12}]}
offers: [{for: P, supplier: S, unit: piece, currency: EUR, breaks: [{from: 1, price: 1}]}]
products: [{number: X, name: product X, trims: [{id: only, name: Only}], positions: [{number: 10, part: A, quantity: 1}]}]
`
	s := smallSheet(t, smallBook(t, text), 10)
	hours := ft.Over(s.key("part/A/op/10/occupied"), ft.Rat("60"))
	ft.Same(t, "occupied", hours, ft.Rat("2.5"))
	ft.Same(t, "by piece", s.key("variant/only/each/consumables"), ft.Rat("0.45")) // (2.5 × 1.6 + 10 × 0.05) ÷ 10
	ft.Same(t, "of the operation", s.key("part/A/op/10/each/consumables"), ft.Rat("0.45"))
	for _, field := range []string{", consumables_per_h: 1.6", ", consumables_per_piece: 0.05"} {
		without := smallSheet(t, smallBook(t, strings.Replace(text, field, "", 1)), 10)
		if s.rat(s.est.Variants[0].Full).Cmp(without.rat(without.est.Variants[0].Full)) <= 0 {
			t.Errorf("nothing speaks without %q", field)
		}
	}
}
