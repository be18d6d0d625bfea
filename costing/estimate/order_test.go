package estimate_test

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/booktest"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/trade"
	"kerfbook/testdata/depth"
)

// severalBook has two or three of everything that a choice is made among.
const severalBook = `kerfbook: 1
name: several
country: "PT"
currency: EUR
rate_cards:
  - id: old
    from: 2025-01-01
  - id: now
    from: 2026-01-01
    material_overhead: 0.05
    exchange:
      - {from: USD, to: EUR, kind: selling, rate: 0.86}
      - {from: EUR, to: USD, kind: selling, rate: 1.25}
      - {from: USD, to: EUR, kind: buying, rate: 0.9}
      - {from: EUR, to: USD, kind: buying, rate: 1.1}
      - {from: EUR, to: GBP, kind: selling, rate: 0.87}
      - {from: EUR, to: GBP, kind: customs, rate: 0.88}
work_centres:
  - {id: MILL, name: mill, machine_rate_per_h: 60, labour_rate_per_h: 30}
  - {id: BENCH, name: bench, labour_rate_per_h: 25}
materials:
  - {id: CU, name: copper, density_g_cm3: 8.9, reclaim_per_kg: 5, recovered_share: 0.8, cutting_as: copper}
  - {id: AL, name: aluminium, density_g_cm3: 2.7, cutting_as: copper}
suppliers: [{id: S, name: s}, {id: T, name: t}, {id: U, name: u}]
stocks:
  - {id: BAR, name: bar, material: CU, form: bar, length_mm: 3000, width_mm: 60, thickness_mm: 20}
  - {id: ROD, name: rod, material: AL, form: bar, length_mm: 2000, diameter_mm: 30}
tools:
  - {id: D1, name: drill, kind: drill, diameter_mm: 5, edge_cost: 8, life_min: 30, edge_change_min: 1}
  - {id: D2, name: drill, kind: drill, diameter_mm: 5, edge_cost: 8, life_min: 30, edge_change_min: 1}
  - {id: D3, name: drill, kind: drill, diameter_mm: 5, edge_cost: 20, life_min: 90, edge_change_min: 1}
offers:
  - {for: BAR, supplier: S, unit: piece, currency: EUR, breaks: [{from: 1, price: 100}]}
  - {for: BAR, supplier: T, unit: piece, currency: EUR, breaks: [{from: 1, price: 100}]}
  - {for: BAR, supplier: U, unit: kg, currency: EUR, breaks: [{from: 1, price: 4}]}
  - {for: ROD, supplier: S, unit: m, currency: EUR, breaks: [{from: 1, price: 20}]}
  - {for: ROD, supplier: T, unit: m, currency: USD, breaks: [{from: 1, price: 20}]}
  - {for: P, supplier: S, unit: piece, currency: EUR, breaks: [{from: 1, price: 3}, {from: 100, price: 2}]}
  - {for: P, supplier: T, unit: piece, currency: EUR, breaks: [{from: 1, price: 3}], multiple: 7, leftover_value: 0.5}
  - {for: P, supplier: U, unit: hundred, currency: USD, breaks: [{from: 1, price: 250}], leftover_value: 1}
  - {for: P, supplier: U, unit: hundred, currency: USD, breaks: [{from: 1, price: 200}], valid_until: 2026-01-31}
  - {for: Q, supplier: S, unit: piece, currency: EUR, breaks: [{from: 1, price: 5}]}
  - {for: Q, supplier: T, unit: piece, currency: EUR, breaks: [{from: 1, price: 5}], leftover_value: 0.7}
outside_processes:
  - {id: N, name: nickel, supplier: S, currency: EUR, piece_price: 3}
  - {id: A, name: anodising, supplier: T, currency: USD, piece_price: 2, minimum: 30}
parts:
  - {number: P, kind: bought, name: p}
  - {number: Q, kind: bought, name: q}
  - number: M
    name: milled
    kind: made
    blank: {stock: BAR, length_mm: 50}
    routing:
      - {number: 10, name: drill, kind: machining, work_centre: MILL, setup_min: 20,
         features: [{id: D, name: hole, kind: drill, count: 2, diameter_mm: 5, depth_mm: 12, through: true, speed_m_min: 50, feed_mm: 0.1}]}
  - number: R
    name: turned
    kind: made
    blank: {stock: ROD, length_mm: 40, kerf_mm: 2}
    routing:
      - {number: 10, name: turn, kind: machining, work_centre: MILL, setup_min: 30, piece_min: 4, yield: 0.98}
      - {number: 20, name: anodise, kind: outside, treatment: {process: A}}
  - number: K
    name: kit
    kind: assembly
    children: [{part: P, quantity: 3}, {part: Q, quantity: 1}, {part: M, quantity: 1}]
    routing: [{number: 10, name: fit, kind: manual, work_centre: BENCH, piece_min: 3}]
products:
  - number: X
    name: product X
    hs_code: "9405.21"
    origin: "PT"
    parcel: {length_mm: 300, width_mm: 200, height_mm: 100, mass_g: 900}
    options:
      - {id: o, name: O, choices: [{id: one, name: one}, {id: two, name: two}]}
      - {id: f, name: F, choices: [{id: plain, name: plain}, {id: fine, name: fine}]}
    rules:
      - {kind: requires, if: {o: [two]}, then: {f: [fine]}}
      - {kind: requires, if: {f: [plain]}, then: {o: [one]}}
    trims:
      - {id: alpha, name: Alpha, choices: {o: one, f: plain}}
      - {id: beta, name: Beta, choices: {o: two, f: fine}}
    positions:
      - {number: 10, part: K, quantity: 1}
      - {number: 20, part: R, quantity: 2, when: [{o: [two]}]}
      - {number: 30, part: P, quantity: 2}
    special_direct: [{name: a, amount: 100, recover_over_pieces: 70}, {name: b, amount: 50, recover_over_pieces: 30}]
  - number: Y
    name: product Y
    hs_code: "8504.40"
    origin: "PT"
    parcel: {length_mm: 100, width_mm: 200, height_mm: 100, mass_g: 1500}
    trims: [{id: gamma, name: Gamma}]
    positions: [{number: 10, part: R, quantity: 1}, {number: 20, part: M, quantity: 1}]
    routing: [{number: 10, name: plate, kind: outside, treatment: {process: N}}]
channels:
  - {id: shop, name: own shop, payment_share: 0.02, payment_fixed: 0.3, returns_per_piece: 1, tax: 0.23, price_point: {step: 5, ending: 4.9}}
  - {id: dealer, name: dealers, reseller_margin: 0.38, cash_discount: 0.02, commission: 0.03, market_share: 0.05, fee_tax_cost: 0.1}
prices:
  - {product: X, channel: shop, margin: 0.4}
  - {product: X, trim: beta, channel: shop, margin: 0.5}
  - {product: X, channel: dealer, markup: 0.3}
  - {product: Y, channel: dealer, shelf_price: 90}
  - {product: Y, channel: shop, list_price: 80}
carriers:
  - id: C
    name: carrier
    currency: EUR
    length_unit: cm
    mass_unit: kg
    volumetric_divisor: 5000
    zones:
      - {id: near, places: ["PT", "DE"], bands: [{up_to: 2, price: 4}, {up_to: 30, price: 9}]}
      - {id: far, places: ["GB"], bands: [{up_to: 2, price: 14}, {up_to: 30, price: 29}]}
      - {id: wide, places: ["DE", "GB"], bands: [{up_to: 40, price: 31}]}
    surcharges: [{id: toll, name: toll, share_of_table: 0.03, bears_fuel: true}, {id: peak, name: peak, amount: 0.5, bears_fuel: false}]
    fuel_share: 0.1
    insurance: {rate: 0.006, minimum: 0.80}
    clearance: [{places: ["GB"], currency: GBP, fixed: 5}, {places: ["CH"], currency: GBP, fixed: 6}]
destinations:
  - {country: "PT", carrier: C}
  - {country: "DE", carrier: C, sales_to_date: 9900}
  - {country: "GB", carrier: C, registered: true, delivered_prices: [{product: X, price: 210}, {product: X, trim: beta, price: 260}]}
baskets:
  - {id: both, lines: [{product: X, trim: alpha, quantity: 1}, {product: Y, trim: gamma, quantity: 2}]}
  - {id: pair, lines: [{product: X, trim: alpha, quantity: 1}, {product: X, trim: beta, quantity: 1}], destinations: ["GB", "PT"]}
rules:
  taxes:
    - {id: vat, name: VAT, country: "GB", rate: 0.2, from: 2020-01-01}
    - {id: eco, name: levy, country: "GB", rate: 0.01, from: 2020-01-01, base_contains: [vat]}
  tariff:
    - {hs_codes: ["9405"], territory: GB, duty: {by_value: 0.037}, from: 2021-01-01}
    - {hs_codes: ["94"], territory: GB, duty: {by_value: 0.05}, from: 2021-01-01}
    - {hs_codes: ["8504"], territory: GB, duty: {by_value: 0.02, per_kg: 1, combine: greater, currency: GBP}, from: 2021-01-01}
    - {hs_codes: ["8504"], territory: GB, layer: extra, duty: {by_value: 0.1}, from: 2021-01-01}
  import_charges:
    - {id: port, per: consignment, name: port fee, place: GB, currency: GBP, amount: 1.5, in_tax_base: true}
    - {id: desk, per: consignment, name: desk fee, place: GB, currency: GBP, amount: 2.5}
`

// inOrder are the types whose place in a list says something: the steps of a
// routing, bands that ascend, regimes that are tried one after another.
var inOrder = []string{"Operation", "Feature", "PriceBreak", "MassBand", "ClearanceTier", "Regime", "Rounding"}

// permuted copies a book. With a source of chance, every list whose order says
// nothing is shuffled: suppliers, materials, stocks, tools, work centres, rate cards
// and their exchange rates, offers, processes, parts and their children, products
// with options, rules, trims and positions, channels, prices, carriers with zones and
// surcharges, destinations, baskets with their lines, and the shop's own rows.
func permuted(v reflect.Value, rnd *rand.Rand) reflect.Value {
	switch {
	case v.Type() == reflect.TypeFor[decimal.Decimal](), v.Kind() == reflect.Pointer && v.IsNil(), v.Kind() == reflect.Slice && v.IsNil():
		return v
	case v.Kind() == reflect.Pointer:
		out := reflect.New(v.Type().Elem())
		out.Elem().Set(permuted(v.Elem(), rnd))
		return out
	case v.Kind() == reflect.Struct:
		out := reflect.New(v.Type()).Elem()
		out.Set(v)
		for i := range v.NumField() {
			if out.Field(i).CanSet() {
				out.Field(i).Set(permuted(v.Field(i), rnd))
			}
		}
		return out
	case v.Kind() == reflect.Slice:
		out := reflect.MakeSlice(v.Type(), v.Len(), v.Len())
		for i := range v.Len() {
			out.Index(i).Set(permuted(v.Index(i), rnd))
		}
		if rnd != nil && !slices.Contains(inOrder, v.Type().Elem().Name()) {
			rnd.Shuffle(out.Len(), reflect.Swapper(out.Interface()))
		}
		return out
	default:
		return v
	}
}

func copied(b *book.Book, rnd *rand.Rand) *book.Book {
	out := permuted(reflect.ValueOf(*b), rnd).Interface().(book.Book)
	return &out
}

// drawn is a book with numbers by chance, few enough that much is equal, some
// records left out, and places that name a channel or do not.
func drawn(base *book.Book, rnd *rand.Rand) (*book.Book, []estimate.MixLine) {
	b := copied(base, nil)
	some := func(values ...string) bom.Number {
		return bom.Exactly(decimal.RequireFromString(values[rnd.IntN(len(values))]))
	}
	for i := range b.Offers {
		o := &b.Offers[i]
		o.Breaks[0].Price = some("2", "3", "3", "4.5")
		if o.Currency = "EUR"; rnd.IntN(4) == 0 {
			o.Currency = "USD"
		}
		if rnd.IntN(5) == 0 && o.For != "ROD" {
			o.ValidUntil = []bom.Date{"2026-02-28", "2026-10-31"}[rnd.IntN(2)]
		}
	}
	for i := range b.Tools {
		cost, life := some("8", "8", "20"), some("30", "30", "90")
		b.Tools[i].EdgeCost, b.Tools[i].LifeMin = &cost, &life
	}
	for i := range b.Destinations {
		b.Destinations[i].Channel = []bom.ID{"", "", "shop", "dealer"}[rnd.IntN(4)]
		b.Destinations[i].Registered = rnd.IntN(2) == 0
	}
	b.Prices = slices.DeleteFunc(b.Prices, func(p trade.Price) bool { return p.Channel == "dealer" && rnd.IntN(2) == 0 })
	b.Rules.Tariff = slices.DeleteFunc(b.Rules.Tariff, func(trade.TariffRow) bool { return rnd.IntN(6) == 0 })
	mix := []estimate.MixLine{{Product: "X", Trim: "alpha"}, {Product: "X", Trim: "beta"}, {Product: "Y", Trim: "gamma"}}
	mix = mix[rnd.IntN(3):]
	for i := range mix {
		mix[i].Quantity = bom.Whole(1 + rnd.Int64N(150))
	}
	return b, mix
}

// figures are an evaluated estimate.
type figures struct {
	g *graph.Graph
	v *exact.Values
}

func figuresOf(b *book.Book, mix []estimate.MixLine) (figures, error) {
	est, err := estimate.Build(b, mix, demoDay)
	if err != nil {
		return figures{}, err
	}
	v, err := exact.Evaluate(est.Graph, nil)
	return figures{est.Graph, v}, err
}

// digits writes a number to 30 of them.
func digits(d decimal.Decimal) string {
	return d.Round(int32(30 - d.NumDigits() - int(d.Exponent()))).String()
}

// TestOrderChangesNothing: many books, each with its lists and its mix in another
// order: the same figures under the same keys.
func TestOrderChangesNothing(t *testing.T) {
	t.Parallel()
	base := booktest.Read(t, []byte(severalBook))
	const books = 1000
	priced := 0
	for seed := range depth.Seeds(books) {
		rnd := rand.New(rand.NewPCG(seed, 30))
		b, mix := drawn(base, rnd)
		was, err := figuresOf(b, mix)
		turned := slices.Clone(mix)
		rnd.Shuffle(len(turned), reflect.Swapper(turned))
		is, errIs := figuresOf(copied(b, rnd), turned)
		if (err == nil) != (errIs == nil) {
			t.Fatalf("seed %d: %v, in another order %v", seed, err, errIs)
		}
		if err != nil {
			continue
		}
		priced++
		if diff := differing(was, is); len(diff) > 0 {
			t.Fatalf("seed %d: %d figures differ, as %s", seed, len(diff), strings.Join(diff[:min(8, len(diff))], "\n  "))
		}
	}
	if priced < depth.Of(books)*9/10 {
		t.Errorf("only %d of the books could be priced", priced)
	}
}

// differing lists the figures that are not the same to 30 digits in two graphs.
func differing(was, is figures) []string {
	var out []string
	for id := range graph.ID(was.g.Len()) {
		key := was.g.Node(id).Key
		other, ok := is.g.Find(key)
		if !ok {
			out = append(out, key+" is gone")
			continue
		}
		x, okX := was.v.Raw(id)
		y, okY := is.v.Raw(other)
		if okX != okY || !x.Equal(y) && digits(x) != digits(y) {
			out = append(out, fmt.Sprintf("%s: %s, then %s", key, x, y))
		}
	}
	if n := is.g.Len() - was.g.Len(); n > 0 && len(out) == 0 {
		out = append(out, fmt.Sprintf("%d figures are new", n))
	}
	return out
}
