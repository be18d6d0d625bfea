package estimate_test

import (
	"math/big"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/book/booktest"
	ft "kerfbook/costing/fractiontest"
)

// byMetal buys copper bar at the price of the day in pounds and a premium in euros; chips
// bring the price of the day. A cable has copper in it beyond what its price holds.
const byMetal = `
rate_cards: [{id: card, from: 2026-01-01, exchange: [{from: GBP, to: EUR, kind: buying, rate: 1.25}]}]
metal_prices:
  - {id: CU, name: copper, currency: EUR, source: settlement of the day, days: [{from: 2026-11-01, per_kg: 9.4}, {from: 2027-01-01, per_kg: 12}, {from: 2026-10-01, per_kg: 8}]}
  - {id: SN, name: tin, currency: GBP, days: [{from: 2026-11-20, per_kg: 24}]}
materials: [{id: BZ, name: bronze, density_g_cm3: 8.8, reclaim_metal: CU}]
stocks: [{id: SQ24, name: square 24, material: BZ, form: square, length_mm: 1000, across_flats_mm: 24}]
parts:
  - {number: A, kind: made, name: knob, mass_g: 120, blank: {stock: SQ24, length_mm: 38, kerf_mm: 2, leftover_value: 0}}
  - {number: CABLE, kind: bought, name: cable, counted_in: m}
offers:
  - {for: SQ24, supplier: S, unit: kg, currency: EUR, breaks: [{from: 1, price: 4}, {from: 100, price: 3}], metals: [{metal: CU, share: 0.92}, {metal: SN, share: 0.08}]}
  - for: CABLE
    supplier: S
    unit: m
    currency: EUR
    breaks: [{from: 1, price: 0.5}]
    metals: [{metal: CU, mass_g: 30, base_per_kg: 1.5, added: 0.01}]
    least_value: 60
    order_charges: [{name: certificate, amount: 12}]
products:
  - number: X
    name: product X
    trims: [{id: only, name: Only}]
    positions: [{number: 10, part: A, quantity: 2}, {number: 20, part: CABLE, quantity: 1.5}]
`

// TestMetalMoves: the price of a metal that moves by 1 moves the cost of the batch by the
// kilograms of it that are bought less those of chips, exactly.
func TestMetalMoves(t *testing.T) {
	t.Parallel()
	b := smallBook(t, strings.ReplaceAll(byMetal, "metals: [{metal: CU, share: 0.92}, {metal: SN, share: 0.08}]", "metals: [{metal: CU}]"))
	before := smallSheet(t, b, 70)
	for _, by := range []string{"1", "-2.5"} {
		moved := evaluate(t, before.est, map[string]decimal.Decimal{"metal/CU/price": ft.Dec("9.4").Add(ft.Dec(by))})
		bought, chips := before.key("part/A/mass-bought"), before.key("part/A/mass-chips")
		cable := ft.Times(ft.Rat("105"), ft.Rat("0.030"), ft.Rat("1.01"))
		cost := func(s sheet) *big.Rat {
			return ft.Plus(ft.Minus(s.key("part/A/order/S/order-cost"), s.key("part/A/reclaim")), s.key("part/CABLE/order/S/order-cost"))
		}
		if got, want := ft.Minus(cost(moved), cost(before)), ft.Times(ft.Rat(by), ft.Plus(ft.Minus(bought, chips), cable)); got.Cmp(want) != 0 {
			t.Errorf("copper moved by %s: %s more, want %s", by, got.FloatString(24), want.FloatString(24))
		}
	}
}

// TestMetalPrices: the price of the day by its date and in its own currency, with what is
// contained, added and charged by the order.
func TestMetalPrices(t *testing.T) {
	t.Parallel()
	s := smallSheet(t, smallBook(t, byMetal), 70)
	ft.Same(t, "copper on the day", s.key("metal/CU/price"), ft.Rat("9.4"))
	ft.Same(t, "tin in euros", s.key("metal/SN/in/EUR/price"), ft.Rat("30"))
	ft.Same(t, "metal in a kilogram", s.key("offer/SQ24/S/metal-per-kg"), ft.Rat("11.048")) // 0.92 × 9.4 + 0.08 × 30
	ft.Same(t, "cable", s.key("part/CABLE/order/S/order-cost"), ft.Rat("89.6811"))          // 105 × (0.5 + 0.03 × 7.994) + 12
	dollars := strings.NewReplacer("kind: buying, rate: 1.25}", "kind: buying, rate: 1.25}, {from: USD, to: EUR, kind: buying, rate: 0.8}",
		"for: SQ24, supplier: S, unit: kg, currency: EUR", "for: SQ24, supplier: S, unit: kg, currency: USD").Replace(byMetal)
	ft.Same(t, "tin in dollars", smallSheet(t, smallBook(t, dollars), 70).key("metal/SN/in/USD/price"), ft.Rat("37.5")) // 24 × 1.25 ÷ 0.8
	few := smallSheet(t, smallBook(t, byMetal), 2)
	ft.Same(t, "least value", few.key("part/CABLE/order/S/order-cost"), ft.Rat("72")) // 60 and the certificate
}

// TestCutsAreCharged by the piece of stock that the supplier cuts.
func TestCutsAreCharged(t *testing.T) {
	t.Parallel()
	plain := smallSheet(t, smallBook(t, byMetal), 70)
	cut := smallSheet(t, smallBook(t, strings.Replace(byMetal, "{for: SQ24, supplier: S,", "{for: SQ24, supplier: S, cut_charge: 1.8,", 1)), 70)
	bars := ft.Times(plain.key("part/A/stock-needed"), ft.Rat("1.8"))
	almost(t, "with cuts", cut.key("part/A/order/S/order-cost"), ft.Plus(plain.key("part/A/order/S/order-cost"), bars))
}

// TestMetalsAreRefused where they do not go together, and told where they are old.
func TestMetalsAreRefused(t *testing.T) {
	t.Parallel()
	for _, c := range [][]string{
		{"no such metal", "{metal: SN,", "{metal: ZN,", "offers[0].metals[1].metal", "there is no metal price ZN"},
		{"a metal twice", "{metal: SN,", "{metal: CU,", "CU is listed twice"},
		{"share and mass", "{metal: CU, mass_g: 30,", "{metal: CU, share: 0.1, mass_g: 30,", "delete one"},
		{"no mass", "{metal: CU, mass_g: 30,", "{metal: CU,", "offers[1].metals[0]", "enter mass_g here"},
		{"mass in a gram", "counted_in: m}", "counted_in: g}", "offers[1].metals[0].mass_g", "enter the share of the metal instead"},
		{"a floor without a base", "base_per_kg: 1.5", "never_below_base: true", "there is no base"},
		{"a cut of cable", "    least_value: 60", "    least_value: 60\n    cut_charge: 1", "offers[1].cut_charge", "is not cut to length"},
		{"a charge twice", "{name: certificate, amount: 12}", "{name: certificate, amount: 12}, {name: Certificate, amount: 3}", "charged twice"},
		{"two prices of a day", "{from: 2026-10-01", "{from: 2026-11-01", "metal_prices[0].days[2].from", "two prices begin on 1 November 2026"},
		{"chips at two prices", "reclaim_metal: CU", "reclaim_metal: CU, reclaim_per_kg: 3", "has no reclaim_per_kg"},
		{"a share of nothing", "reclaim_metal: CU", "reclaim_share: 0.8", "needs reclaim_metal"},
		{"no price yet", "{from: 2026-11-20,", "{from: 2026-12-20,", "metal_prices[1].days", "there is no price of tin on 25 November 2026"},
	} {
		wantRefused(t, c[0], strings.Replace(byMetal, c[1], c[2], 1), c[3:]...)
	}
	if f := faults(t, byMetal); len(f) != 0 {
		t.Errorf("found: %v", f)
	}
	b := smallBook(t, strings.Replace(byMetal, "{from: 2026-11-20,", "{from: 2026-12-20,", 1))
	says(t, lacking(t, b, smallMix()), "price of tin on 25 November 2026")
	b = smallBook(t, strings.Replace(byMetal, "{metal: CU, mass_g: 30,", "{metal: CU,", 1))
	says(t, lacking(t, b, smallMix()), "mass of what S sells by the price of its metal")
}

// TestNothingBoughtIsSilent: whatever is taken out of what is bought changes the cost of the
// batch or is told.
func TestNothingBoughtIsSilent(t *testing.T) {
	t.Parallel()
	whole := map[string]*big.Rat{}
	for _, c := range [][2]string{
		{corded, "{number: 10, part: CORD, quantity: 1.8}"}, {corded, ", mass_g: 40"}, {corded, "counted_in: g"}, {corded, "counted_in: dm2"},
		{corded, ", leftover_value: 1"}, {corded, ", multiple: 0.1"}, {corded, ", multiple: 0.25"}, {corded, "pack_content: 50, "}, {corded, ", fitting_scrap: 0.2"},
		{byMetal, ", metals: [{metal: CU, share: 0.92}, {metal: SN, share: 0.08}]"}, {byMetal, ", {metal: SN, share: 0.08}"}, {byMetal, ", share: 0.92"},
		{byMetal, ", base_per_kg: 1.5"}, {byMetal, ", added: 0.01"}, {byMetal, ", mass_g: 30"}, {byMetal, "    order_charges: [{name: certificate, amount: 12}]"},
		{byMetal, ", reclaim_metal: CU"}, {byMetal, ", across_flats_mm: 24"}, {byMetal, "{from: 2026-11-01, per_kg: 9.4}, "}, {byMetal, ", {from: 100, price: 3}"},
		{strings.Replace(byMetal, "least_value: 60", "least_value: 600", 1), "    least_value: 600"},
	} {
		cost := func(text string) *big.Rat {
			s := smallSheet(t, smallBook(t, text), 310)
			return s.rat(s.est.Variants[0].Production)
		}
		without := strings.Replace(c[0], c[1], "", 1)
		if without == c[0] {
			t.Fatalf("%q is not there", c[1])
		}
		if len(faults(t, without)) > 0 {
			continue
		}
		if whole[c[0]] == nil {
			whole[c[0]] = cost(c[0])
		}
		if cost(without).Cmp(whole[c[0]]) == 0 {
			t.Errorf("nothing speaks without %q", c[1])
		}
	}
}

// TestOrderOfOffersChangesNothing: of two suppliers the cheaper is taken, whichever stands
// first.
func TestOrderOfOffersChangesNothing(t *testing.T) {
	t.Parallel()
	text := strings.Replace(byMetal, "offers:\n", "offers:\n  - {for: CABLE, supplier: R, unit: pack, pack_content: 25, currency: EUR, breaks: [{from: 1, price: 20}]}\n", 1)
	b := booktest.Read(t, []byte(strings.Replace(smallText(text), "supplier S}]", "supplier S}, {id: R, name: supplier R}]", 1)))
	for _, quantity := range []int64{1, 3, 40, 70, 300} {
		first := smallSheet(t, b, quantity)
		slices.Reverse(b.Offers)
		second := smallSheet(t, b, quantity)
		ft.Same(t, "full cost", second.rat(second.est.Variants[0].Full), first.rat(first.est.Variants[0].Full))
	}
}
