package booktest

import (
	"fmt"
	"strings"
)

// Shop is the text of a shop of Ostrel Workshop's kind with so many parts, worked at so
// many benches: of ten parts in a row six are turned from bar, three are bought, and the
// tenth puts the nine before it together. The product X has all of those.
func Shop(parts, benches int) string {
	var b strings.Builder
	b.WriteString(`kerfbook: 1
name: whole shop
country: "PT"
currency: EUR
rate_cards:
  - {id: card, from: 2026-01-01, material_overhead: 0.06, bought_overhead: 0.02, outside_overhead: 0, making_overhead: {base: labour_cost, rate: 0.6}, administration: 0.08, selling: 0.05}
materials:
  - {id: brass, name: Brass, density_g_cm3: 8.5}
suppliers:
  - {id: S, name: supplier S}
stocks:
  - {id: rod, name: Brass rod, material: brass, form: bar, length_mm: 3000, diameter_mm: 20}
work_centres:
`)
	for i := range benches {
		fmt.Fprintf(&b, "  - {id: bench-%d, name: bench %d, machines: 1, machine_rate_per_h: 12, labour_rate_per_h: 24}\n", i+1, i+1)
	}
	b.WriteString("offers:\n  - {for: rod, supplier: S, unit: m, currency: EUR, breaks: [{from: 1, price: 8}, {from: 100, price: 7}]}\n")
	for i := range parts {
		if i%10 >= 6 && i%10 < 9 {
			fmt.Fprintf(&b, "  - {for: P%d, supplier: S, unit: piece, currency: EUR, breaks: [{from: 1, price: 0.4}, {from: 1000, price: 0.3}]}\n", i+1)
		}
	}
	b.WriteString("parts:\n")
	for i := range parts {
		bench := i%benches + 1
		fmt.Fprintf(&b, "  - number: P%d\n    revision: A\n    name: part %d\n", i+1, i+1)
		switch {
		case i%10 < 6:
			fmt.Fprintf(&b, `    kind: made
    blank: {stock: rod, length_mm: %d, kerf_mm: 2}
    routing:
      - {number: 10, name: Turn, kind: manual, work_centre: bench-%d, setup_min: 10, piece_min: 1.5, yield: 0.98}
      - {number: 20, name: Deburr, kind: manual, work_centre: bench-%d, piece_min: 0.5}
`, 10+i%40, bench, bench)
		case i%10 < 9:
			b.WriteString("    kind: bought\n")
		default:
			b.WriteString("    kind: assembly\n    children:\n")
			for j := i - 9; j < i; j++ {
				fmt.Fprintf(&b, "      - {part: P%d, quantity: 1}\n", j+1)
			}
			fmt.Fprintf(&b, "    routing:\n      - {number: 10, name: Fit, kind: manual, work_centre: bench-%d, piece_min: 2}\n", bench)
		}
	}
	b.WriteString("products:\n  - number: X\n    revision: A\n    name: product X\n    trims: [{id: only, name: Only}]\n    positions:\n")
	for i := 9; i < parts; i += 10 {
		fmt.Fprintf(&b, "      - {number: %d, part: P%d, quantity: 1}\n", i+1, i+1)
	}
	return b.String()
}
