package estimate_test

import (
	"math/big"
	"strings"
	"testing"

	"kerfbook/costing/estimate"
	ft "kerfbook/costing/fractiontest"
)

// machineBook is a book whose work centre M builds its rate up.
func machineBook(rate string) string {
	return `work_centres:
  - {id: M, name: machine, hour_rate: {` + rate + `}}
offers: [{for: RAW, supplier: S, unit: piece, currency: EUR, breaks: [{from: 1, price: 1}]}]
parts: [{number: RAW, name: bare part, kind: bought}]
products:
  - number: X
    name: product X
    positions: [{number: 10, part: RAW, quantity: 1}]
    trims: [{id: only, name: Only}]
    routing: [{number: 10, name: work, kind: machining, work_centre: M, piece_min: 60}]
`
}

const machineRate = "work-centre/M/machine-rate"

// TestHourRate recounts M18 in fractions, with and without what is optional.
func TestHourRate(t *testing.T) {
	t.Parallel()
	per := func(text, hours string) *big.Rat { return ft.Over(ft.Rat(text), ft.Rat(hours)) }
	for _, c := range []struct {
		name, rate string
		want       *big.Rat
	}{
		{"all", `replacement: 96000, purchase: 90000, disposal: 1500, residual: 12000, life_years: 9, hours_per_year: 1450,
			interest_per_year: 0.045, area_m2: 18.5, rent_per_m2_year: 96, power_kw: 11, power_load: 0.35, tariff_per_kwh: 0.21,
			maintenance_per_year: 2100, other_per_year: [{name: insurance, amount: 340}, {name: coolant, amount: 260.50}]`,
			ft.Plus(ft.Over(ft.Rat("85500"), ft.Rat("13050")), per("2295", "1450"), // 0.045 × (90000 + 12000) ÷ 2
				per("1776", "1450"), ft.Rat("0.8085"), per("2700.50", "1450"))},
		{"interest on half of the purchase", `replacement: 96000, purchase: 90000, residual: 12000, life_years: 9, hours_per_year: 1450,
			interest_per_year: 0.045, interest_base: half_of_purchase`, ft.Plus(ft.Over(ft.Rat("84000"), ft.Rat("13050")), per("2025", "1450"))},
		{"purchase defaults to replacement", `replacement: 80000, residual: 8000, life_years: 10, hours_per_year: 1000, interest_per_year: 0.05`,
			ft.Plus(ft.Rat("7.2"), ft.Rat("2.2"))}, // 0.05 × (80000 + 8000) ÷ 2 ÷ 1000
		{"depreciation alone", `replacement: 30000, life_years: 8, hours_per_year: 750`, ft.Rat("5")},
	} {
		s := smallSheet(t, smallBook(t, machineBook(c.rate)), 4)
		ft.Same(t, c.name, s.key(machineRate), c.want)
		ft.Same(t, c.name+": four hours of it", s.key("variant/only/op/10/machine-cost"), ft.Times(ft.Rat("4"), c.want))
	}
}

// TestRateCardStandsIn: interest and energy come from the rate card where the hour
// rate gives none, as one figure for all work centres.
func TestRateCardStandsIn(t *testing.T) {
	t.Parallel()
	card := "rate_cards: [{id: card, from: 2026-01-01, energy_per_kwh: 0.25, interest_per_year: 0.04}]\n"
	text := card + machineBook("replacement: 40000, life_years: 8, hours_per_year: 1000, power_kw: 4")
	s := smallSheet(t, smallBook(t, text), 1)
	ft.Same(t, "rate", s.key(machineRate), ft.Rat("6.8")) // 5 + 0.8 + 1
	for _, key := range []string{"rate-card/energy-price", "rate-card/interest-rate"} {
		if !s.Has(key) {
			t.Errorf("there is no figure %s", key)
		}
	}
	own := card + machineBook("replacement: 40000, life_years: 8, hours_per_year: 1000, power_kw: 4, tariff_per_kwh: 0.50, interest_per_year: 0")
	ft.Same(t, "own rate", smallSheet(t, smallBook(t, own), 1).key(machineRate), ft.Rat("7"))
}

// TestHourRateRefusals: a monthly rent, both rates, halves of what belongs
// together.
func TestHourRateRefusals(t *testing.T) {
	t.Parallel()
	const bare = "replacement: 40000, life_years: 8, hours_per_year: 1000"
	wantRefused(t, "a monthly rent", machineBook(bare+", area_m2: 10, rent_per_m2_month: 12"), "rent_per_m2_month", "rent_per_m2_year")
	wantRefused(t, "area without rent", machineBook(bare+", area_m2: 10"), "rent_per_m2_year", "whole year")
	wantRefused(t, "rent without area", machineBook(bare+", rent_per_m2_year: 100"), "needs area_m2")
	wantRefused(t, "power without a tariff", machineBook(bare+", power_kw: 5"), "tariff_per_kwh", "rate card")
	wantRefused(t, "load without power", machineBook(bare+", power_load: 0.5"), "need power_kw")
	wantRefused(t, "residual above replacement", machineBook(bare+", residual: 40001"), "residual", "40001")
	wantRefused(t, "one name twice", machineBook(bare+", other_per_year: [{name: oil, amount: 1}, {name: Oil, amount: 2}]"), "named like another")
	wantRefused(t, "more hours than a year has", machineBook("replacement: 1, life_years: 1, hours_per_year: 8785"), "8785")
	both := strings.Replace(machineBook(bare), "name: machine,", "name: machine, machine_rate_per_h: 20,", 1)
	wantRefused(t, "both rates", both, "machine_rate_per_h", "hour_rate")
	if _, err := estimate.Build(smallBook(t, both), smallMix(), demoDay); err == nil || !strings.Contains(err.Error(), "not both") {
		t.Errorf("both rates build: %v", err)
	}
}

// TestIdleCost: what 400 hours less cost, from the rates of two machines that
// differ in their hours (the printed 15,168 is from a rounded 37.92).
// Source `idle-capacity-item`.
func TestIdleCost(t *testing.T) {
	t.Parallel()
	rateAt := func(hours string) *big.Rat {
		text := machineBook("replacement: 0, life_years: 1, hours_per_year: " + hours + ", power_kw: 10, tariff_per_kwh: 0.50, other_per_year: [{name: fixed, amount: 182000}]")
		return smallSheet(t, smallBook(t, text), 1).key(machineRate)
	}
	idle := ft.Times(ft.Rat("400"), ft.Minus(rateAt("1200"), rateAt("1600")))
	if got := idle.FloatString(2); got != "15166.67" {
		t.Errorf("400 idle hours cost %s, want 15166.67", got)
	}
}
