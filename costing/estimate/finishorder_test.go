package estimate_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/book/booktest"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph/exact"
)

// fiveProcesses is a part that goes through five processes of one supplier, between two
// of which it may come home.
func fiveProcesses(least, between string) string {
	var processes, steps []string
	for i, minimum := range []int{70, 20, 50, 50, 40} {
		processes = append(processes, fmt.Sprintf("{id: W%d, name: work %d, supplier: S, currency: EUR, piece_price: 0, minimum: %d}", i, i, minimum))
		steps = append(steps, fmt.Sprintf("{number: %d, name: work %d, kind: outside, treatment: {process: W%d}}", 10+10*i, i, i))
		if i == 2 && between != "" {
			steps = append(steps, between)
		}
	}
	return `
kerfbook: 1
name: five processes
country: "PT"
currency: EUR
rate_cards: [{id: card, from: 2026-01-01}]
suppliers: [{id: S, name: supplier S` + least + `}]
work_centres: [{id: B, name: bench, machine_rate_per_h: 0, labour_rate_per_h: 0}]
offers: [{for: RAW, supplier: S, unit: piece, currency: EUR, breaks: [{from: 1, price: 0}]}]
outside_processes: [` + strings.Join(processes, ", ") + `]
parts:
  - {number: RAW, name: raw, kind: bought}
  - {number: A, name: part A, kind: assembly, children: [{part: RAW, quantity: 1}], routing: [` + strings.Join(steps, ", ") + `]}
products: [{number: X, name: product X, positions: [{number: 10, part: A, quantity: 1}], trims: [{id: only, name: Only}]}]
`
}

// TestHighestLeastCharges: of the minimums 70, 20, 50, 50 and 40 on one order the highest
// three are charged, 170 (hi-techmetalfinishing.com, "Lot minimum pricing", its rule). What
// comes home in between makes two orders of it.
func TestHighestLeastCharges(t *testing.T) {
	t.Parallel()
	home := "{number: 35, name: look, kind: inspection, work_centre: B, piece_min: 1}"
	for _, c := range []struct{ least, between, cost string }{
		{"", "", "230"}, {", least_charges: 3", "", "170"}, {", least_charges: 1", "", "70"}, {", least_charges: 9", "", "230"},
		{", least_charges: 2", home, "210"}, // 70 and 50, 50 and 40
	} {
		b := booktest.Read(t, []byte(fiveProcesses(c.least, c.between)))
		est, err := estimate.Build(b, estimate.NewMix("X", decimal.NewFromInt(10), "only"), demoDay)
		if err != nil {
			t.Fatal(err)
		}
		values, err := exact.Evaluate(est.Graph, nil)
		if err != nil {
			t.Fatal(err)
		}
		got := decimal.Zero
		for i := range 5 {
			id, ok := est.Graph.Find(fmt.Sprintf("part/A/op/%d/lot", 10+10*i))
			if !ok {
				t.Fatalf("no lot of operation %d", 10+10*i)
			}
			v, err := values.Get(id)
			if err != nil {
				t.Fatal(err)
			}
			got = got.Add(v)
		}
		if !got.Equal(decimal.RequireFromString(c.cost)) {
			t.Errorf("least charges %q, %q: %s, want %s", c.least, c.between, got, c.cost)
		}
	}
}

// TestMetalOfAFinish: only the metal part of a price follows the price of the metal.
// Sources: a plated part of 8 and 2 of metal at 20 an ounce is 10.50 at 25 and 9.50 at 15
// (technicalplating.com, "Precious metals pricing"; it prints 10.25 for the first, which
// does not follow); 0.5 µm of hard gold of 99 %, 17 g/cm³, on 0.35 dm² is 0.0294525 g
// (finishing.com/530/13.shtml, its rule), 2.94525 at 100 a gram.
func TestMetalOfAFinish(t *testing.T) {
	t.Parallel()
	const ounces = "finish: hard_gold, piece_price: 10, coating_density_g_cm3: 10, metal: {metal: M, base_per_kg: 20000}"
	for _, c := range []struct{ process, work, perKg, cost string }{
		{ounces, "area_dm2: 1, thickness_um: 1", "25000", "10.5"}, // 0.1 g stands for 0.1 of an ounce
		{ounces, "area_dm2: 1, thickness_um: 1", "15000", "9.5"},
		{"finish: hard_gold, piece_price: 0, metal: {metal: M, share: 0.99}", "area_dm2: 0.35, thickness_um: 0.5", "100000", "2.94525"},
		{"piece_price: 1, metal: {metal: M, mass_g: 0.5}", "area_dm2: 1", "1000", "1.5"},
	} {
		b := booktest.Read(t, []byte(`
kerfbook: 1
name: metal of a finish
country: "PT"
currency: EUR
rate_cards: [{id: card, from: 2026-01-01}]
suppliers: [{id: S, name: supplier S}]
offers: [{for: RAW, supplier: S, unit: piece, currency: EUR, breaks: [{from: 1, price: 0}]}]
metal_prices: [{id: M, name: metal, currency: EUR, days: [{from: 2020-01-01, per_kg: 1}, {from: 2026-11-01, per_kg: `+c.perKg+`}, {from: 2026-12-01, per_kg: 9}]}]
outside_processes: [{id: W, name: work, supplier: S, currency: EUR, `+c.process+`}]
parts:
  - {number: RAW, name: raw, kind: bought}
  - {number: A, name: part A, kind: assembly, children: [{part: RAW, quantity: 1}], routing: [{number: 10, name: plate, kind: outside, treatment: {process: W, `+c.work+`}}]}
products: [{number: X, name: product X, positions: [{number: 10, part: A, quantity: 1}], trims: [{id: only, name: Only}]}]
`))
		est, err := estimate.Build(b, estimate.NewMix("X", decimal.NewFromInt(1), "only"), demoDay)
		if err != nil {
			t.Fatal(err)
		}
		values, err := exact.Evaluate(est.Graph, nil)
		if err != nil {
			t.Fatal(err)
		}
		id, _ := est.Graph.Find("part/A/op/10/lot")
		if got, err := values.Get(id); err != nil || !got.Equal(decimal.RequireFromString(c.cost)) {
			t.Errorf("%s at %s: %s (%v), want %s", c.process, c.perKg, got, err, c.cost)
		}
	}
}
