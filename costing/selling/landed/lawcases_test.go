package landed_test

import (
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/rates"
	"kerfbook/costing/trade"
	"kerfbook/testdata/depth"
)

// lawPlace is a place with the days around each of its changes, its limits, and a
// second class of goods there.
type lawPlace struct {
	place, second string
	days          []bom.Date
	limits        []string
}

func lawPlaces() []lawPlace {
	eu := []bom.Date{"2026-02-28", "2026-03-01", "2026-06-30", "2026-07-01", "2026-10-31", "2026-11-01"}
	return []lawPlace{
		{"DE", "7616.99", []bom.Date{"2026-06-30", "2026-07-01", "2026-10-31", "2026-11-01"}, []string{"150"}},
		{"FR", "7616.99", eu, []string{"150"}},
		{"RO", "7616.99", []bom.Date{"2025-07-31", "2025-08-01", "2025-12-31", "2026-01-01", "2026-06-30", "2026-07-01"}, []string{"746.55"}},
		{"GB", "7616.99", []bom.Date{"2026-11-25", "2029-03-31"}, []string{"135"}},
		{"CH", "8504.40", []bom.Date{"2026-11-25"}, []string{"36.5", "37", "37.5", "38.50"}},
		{"NO", "6109.10", []bom.Date{"2024-01-01", "2026-11-25"}, []string{"3000", "6000"}},
		{"US", "7616.99", []bom.Date{"2026-02-23", "2026-02-24", "2026-04-05", "2026-04-06", "2026-07-24", "2026-07-25", "2026-09-30", "2026-10-01"}, []string{"2500", "9694", "188078"}},
		{"CA-ON", "7616.99.90", []bom.Date{"2025-04-01", "2026-11-25"}, []string{"20"}},
		{"CA-QC", "7616.99.90", []bom.Date{"2026-11-25"}, []string{"20"}},
		{"CA-BC", "7616.99.90", []bom.Date{"2026-11-25"}, []string{"20"}},
		{"AU", "8504.40", []bom.Date{"2024-07-01", "2026-11-25"}, []string{"1000", "3000", "10000"}},
		{"NZ", "8504.40", []bom.Date{"2025-06-30", "2025-07-01", "2026-03-31", "2026-04-01"}, []string{"1000", "3000"}},
		{"JP", "8504.40", []bom.Date{"2026-11-25", "2028-03-31"}, []string{"8800", "10000", "25000"}},
	}
}

// lawSetup is the same consignment for the product, and what the law needs to
// know of it.
func lawSetup(l lawPlace, day bom.Date, business, registered bool, codes []string, delivered bool) (setup, parcelOf) {
	to := trade.Destination{Country: bom.Country(l.place[:2]), Registered: registered, DeliveryCharge: ft.Num("0")}
	if len(l.place) > 2 {
		to.Region = l.place[3:]
	}
	p := parcelOf{place: l.place, day: day, business: business, registered: registered, code: codes, freight: new(big.Rat), inland: new(big.Rat), euro: ft.Rat("1")}
	if business {
		to.Buyer = trade.Business
	}
	if delivered {
		charge := map[string]string{"JP": "1237"}[l.place]
		if charge == "" {
			charge = "12.37"
		}
		to.DeliveryCharge, to.InlandShare = ft.Num(charge), ft.Num("0.3")
		p.freight, p.inland = ft.Rat(charge), ft.Times(ft.Rat(charge), ft.Rat("0.3"))
	}
	u := setup{to: to, day: day}
	switch l.place {
	case "DE", "FR", "RO":
		u.dispatch = "GB"
	case "JP":
		u.own.Tariff = []trade.TariffRow{
			{Codes: []string{"9405"}, Territory: "JP", Duty: trade.Duty{Share: ft.Num("0.047")}, Cite: "test"},
			{Codes: []string{"8504"}, Territory: "JP", Duty: trade.Duty{Share: ft.Num("0.013")}, Cite: "test"}}
	case "CH":
		p.clearance = ft.Rat("13")
		u.to.Carrier = "post"
		u.carriers = []trade.Carrier{simpleCarrier("CH")}
		u.carriers[0].Currency = "CHF"
		u.carriers[0].Clearance = []trade.Clearance{{Places: []string{"CH"}, Currency: "CHF", Fixed: ft.Num("13")}}
	}
	if l.place == "RO" {
		u.exchange = []rates.Exchange{{From: "EUR", To: "RON", Kind: rates.ForCustoms, Rate: *ft.Num("4.977")}}
		p.euro = ft.Rat("4.977")
	}
	for _, c := range codes {
		g := goods{price: "1", quantity: "1", code: c, parcel: parcel("500")}
		if l.place == "US" && c[:4] == "9405" {
			g.national = []bom.NationalCode{{Place: "US", Code: c + ".60"}}
		}
		u.lines = append(u.lines, g)
	}
	return u, p
}

// amounts are prices and quantities of the kinds of goods whose sum lies at a
// limit, a coin below or above it, or somewhere around.
func (l lawPlace) amounts(rnd *rand.Rand, kinds int) (prices []decimal.Decimal, pieces []int64) {
	coin := decimal.New(1, -2)
	if l.place == "JP" {
		coin = decimal.New(1, 0)
	}
	limit := ft.Dec(l.limits[rnd.IntN(len(l.limits))])
	target := limit.Add(coin.Mul(decimal.NewFromInt(int64(rnd.IntN(5) - 2))))
	if rnd.IntN(3) == 0 {
		target = limit.Mul(decimal.New(1+rnd.Int64N(300), -2)).Div(coin).Ceil().Mul(coin)
	}
	rest := target
	for i := range kinds {
		n := 1 + rnd.Int64N(4)
		part := rest
		if i < kinds-1 {
			part = rest.Mul(decimal.New(10+rnd.Int64N(80), -2))
		} else if rnd.IntN(2) == 0 {
			n = 1
		}
		price := decimal.Max(coin, part.Div(decimal.NewFromInt(n)).Div(coin).Round(0).Mul(coin))
		prices, pieces = append(prices, price), append(pieces, n)
		rest = decimal.Max(coin, rest.Sub(price.Mul(decimal.NewFromInt(n))))
	}
	return prices, pieces
}

// Ten thousand consignments around every limit and on both sides of every change,
// to consumers and businesses, by registered sellers and others, of one kind of
// goods and of two, are worked out a second time from the law: no difference.
func TestLandedPricesAgainstTheLaw(t *testing.T) {
	t.Parallel()
	rnd := rand.New(rand.NewPCG(depth.Seed(t, 10), 12))
	const draws = 11
	cases, ways := 0, map[string]map[string]bool{}
	for _, l := range lawPlaces() {
		ways[l.place] = map[string]bool{}
		for _, day := range l.days {
			for way := range 24 {
				codes := [][]string{{"9405.21"}, {"9405.21", l.second}, {"9405.21", "9405.29"}}[way%3]
				if l.place == "US" && way%3 == 2 {
					codes = []string{"9405.21", "9405.21"}
				}
				u, p := lawSetup(l, day, way/3%2 == 1, way/6%2 == 1, codes, way/12 == 1)
				b := u.build(t)
				for range depth.Of(draws) {
					cases++
					ways[l.place][b.sameAsTheLaw(rnd, l, p)] = true
				}
				if t.Failed() {
					return
				}
			}
		}
	}
	if cases < 10_000*depth.Of(draws)/draws {
		t.Errorf("%d cases only", cases)
	}
	for place, want := range map[string]int{"DE": 3, "FR": 3, "RO": 3, "GB": 2, "CH": 1, "NO": 2, "US": 1, "CA-ON": 2, "AU": 3, "NZ": 4, "JP": 2} {
		if len(ways[place]) < want {
			t.Errorf("%s: only the ways of import %v were taken, want %d", place, ways[place], want)
		}
	}
}

// sameAsTheLaw compares one consignment and gives the regime taken.
func (b built) sameAsTheLaw(rnd *rand.Rand, l lawPlace, p parcelOf) string {
	b.T.Helper()
	prices, pieces := l.amounts(rnd, len(p.code))
	pins := exact.Pins{}
	p.price, p.pieces = nil, nil
	for i := range prices {
		quantity := decimal.NewFromInt(pieces[i])
		pins[b.price[i]], pins[b.quantity[i]] = prices[i], quantity
		p.price, p.pieces = append(p.price, prices[i].Rat()), append(p.pieces, quantity.Rat())
	}
	v, err := exact.Evaluate(b.Graph, pins)
	if err != nil {
		b.T.Fatal(err)
	}
	s := b.landed.BuyerClears
	for name, want := range p.law().list() {
		id := map[string]graph.ID{"duty": s.Duty, "charges": s.Charges, "tax": s.Tax, "seller": s.Collected, "door": s.Door, "total": s.Total}[name]
		if got := b.Get(v, id); got.Rat().Cmp(want) != 0 {
			b.T.Errorf("%s: %s is %s, the law says %s", p, name, got, want.FloatString(4))
		}
	}
	return b.landed.Regimes[b.Get(v, s.Regime).IntPart()-1].ID
}
