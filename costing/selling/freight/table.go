package freight

import (
	"fmt"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
	"kerfbook/costing/selling/exchange"
	"kerfbook/costing/trade"
)

// tablePrice looks up the price of a parcel and adds surcharges and fuel. (L3)
func (l Load) tablePrice(s graph.Scope, mass graph.ID) graph.ID {
	s = s.By("L3")
	table := l.table(s, mass)
	bearing, other := []graph.ID{table}, []graph.ID(nil)
	for i, x := range l.Carrier.Surcharges {
		amount := l.surcharge(s, i, x, table)
		if x.BearsFuel {
			bearing = append(bearing, amount)
		} else {
			other = append(other, amount)
		}
	}
	sum := s.Total("before-fuel", "table price and surcharges that bear fuel", bearing...)
	// On the table price and the surcharges that bear fuel, not on the others (L3); which
	// do stands in the carrier's terms.
	fuel := l.shared().Optional("fuel-share", "fuel surcharge", graph.Plain, l.Carrier.Fuel, "fuel_share")
	other = append(other, s.Multiply("fuel", "fuel surcharge", sum, fuel))
	return s.Total("freight", "freight of one parcel", append([]graph.ID{sum}, other...)...)
}

func (l Load) surcharge(s graph.Scope, i int, x trade.Surcharge, table graph.ID) graph.ID {
	cs := l.shared().Within(fmt.Sprintf("surcharges[%d]", i)).In("surcharge", string(x.ID))
	money := l.Carrier.unit()
	amount := cs.Optional("amount", x.Name, money, x.Amount, "amount")
	share := cs.Optional("share", x.Name+", share of the table price", graph.Plain, x.Share, "share_of_table")
	part := s.Multiply("surcharge-share-"+string(x.ID), x.Name+" on the table price", table, share)
	amount = s.Total("surcharge-"+string(x.ID), x.Name, amount, part)
	if amount == graph.None {
		return s.Zero(money)
	}
	return amount
}

// table is the price of a parcel by its chargeable mass. Bands include their
// upper edge; a parcel above the last band has no price, which a check says in
// words, unless there is a price per unit above it.
func (l Load) table(s graph.Scope, mass graph.ID) graph.ID {
	unit, money, zone := s.Unit(mass), l.Carrier.unit(), l.Carrier.Zones[l.Carrier.ZoneAt]
	path := fmt.Sprintf("zones[%d]", l.Carrier.ZoneAt)
	cs := l.shared().In("zone", string(zone.ID))
	axis := graph.Axis{X: mass}
	var prices []graph.ID
	for i, b := range zone.Bands {
		in := cs.Within(fmt.Sprintf("%s.bands[%d]", path, i)).In(fmt.Sprintf("up-to-%s", b.UpTo.Likely))
		axis.Edges = append(axis.Edges, in.Shared("mass", "upper end of the band", unit, b.UpTo, "up_to"))
		prices = append(prices, in.Shared("price", fmt.Sprintf("price up to %s %s", b.UpTo.Likely, unit), money, b.Price, "price"))
	}
	last := axis.Edges[len(axis.Edges)-1]
	if n := zone.PerUnitAbove; n != nil {
		each := cs.Within(path).Shared("price-above", "price per unit of mass above the last band", money.Per(unit), *n, "per_unit_above")
		over := s.Multiply("above-last-band", "price of the mass above the last band", s.Subtract("mass-above-last-band", "mass above the last band", mass, last), each)
		prices = append(prices, s.Add("heavy-price", "price above the last band", prices[len(prices)-1], over))
	} else {
		s.Check("carried", fmt.Sprintf("carrier %s takes the parcel: its chargeable mass is within the last band", l.Carrier.Name), mass, graph.LessOrEqual, last)
		axis.Edges, axis.High = axis.Edges[:len(axis.Edges)-1], last
		axis.Bands.HasHigh, axis.Bands.HighClosed = true, true
	}
	for range axis.Edges {
		axis.Bands.BelowClosed = append(axis.Bands.BelowClosed, true)
	}
	return s.Band("table-price", "price of the parcel in zone "+string(zone.ID), axis, prices...)
}

// premium insures the goods and their freight with the premium itself inside,
// and gives the premium in book currency, None without insurance. (L4)
func (l Load) premium(freight graph.ID) graph.ID {
	ins := l.Carrier.Insurance
	if ins == nil {
		return graph.None
	}
	s, cs, currency := l.Scope.By("L4"), l.shared().Within("insurance"), l.Carrier.Currency
	goods := l.Rates.Convert(s, "insured-goods", "price of the goods in the carrier's currency", l.Goods, l.Rates.Book, currency, rates.ForBuying)
	rate := cs.Shared("insurance-rate", "insurance rate", graph.Plain, ins.Rate, "rate")
	cover := s.Fixed("insured-share", "insured share of the value", graph.Plain, decimal.New(11, -1), "cover of 110 % of the CIF value, as Incoterms 2020 CIP asks")
	cover = graph.Or(cs.Optional("insured-share", "insured share of the value", graph.Plain, ins.InsuredShare, "insured_share"), cover)
	self := s.Subtract("premium-divisor", "1 − insured share × rate", s.One(graph.Plain), s.Multiply("premium-share", "insured share × rate", cover, rate))
	base := s.Multiply("insured-share-of-cost", "insured share of goods and freight", s.Add("goods-and-freight", "goods and freight", goods, freight), cover)
	insured := s.Divide("insured-value", "insured value", base, self)
	exact := s.Multiply("insurance-unrounded", "premium", insured, rate)
	n := cs.Optional("insurance-minimum", "least premium", l.Carrier.unit(), ins.Minimum, "minimum")
	exact = graph.Or(s.Maximum("insurance-at-least", "premium, at least the minimum", exact, n), exact)
	return l.roundPremium(s, exact)
}

// roundPremium rounds the premium in the carrier's currency and brings it into
// that of the book.
func (l Load) roundPremium(s graph.Scope, exact graph.ID) graph.ID {
	currency, name := l.Carrier.Currency, "insurance"
	if currency != l.Rates.Book {
		name = "insurance-as-invoiced"
	}
	rounded := s.Round(name, "insurance premium", exact, exchange.SmallestUnit(s, currency))
	return l.Rates.Convert(s, "insurance", "insurance premium in the currency of the book", rounded, currency, l.Rates.Book, rates.ForBuying)
}
