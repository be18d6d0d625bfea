package purchase

import (
	"strconv"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
)

// Offer is one supplier's price as figures; all needs for its part or stock
// share them. Quantities are in purchase units; None where the book gives no
// number.
type Offer struct {
	def           rates.Offer
	source        graph.Source
	exchange      graph.ID   // book currency per offer currency; None if they are the same
	content       graph.ID   // units of use in a purchase unit; None unless sold by the hundred or the pack
	moq, multiple graph.ID   // purchase units
	from, price   []graph.ID // by break: purchase units, money per purchase unit
	fixed, each   graph.ID   // inbound: money, money per purchase unit
	share         graph.ID   // inbound: share of value
	metals        metals     // what follows their prices
	cut, least    graph.ID   // money per piece of stock; money
	value         graph.ID   // share of the price credited for leftover
}

// NewOffer writes the figures of an offer in the scope offer/TARGET/SUPPLIER.
// use is the unit in which the shop uses the goods: piece for a part, or what it is
// counted in, plain for stock.
func NewOffer(s graph.Scope, src graph.Source, def rates.Offer, use graph.Unit, exchange graph.ID, metal MetalPrice) Offer {
	s = s.From(src)
	o := Offer{def: def, source: src, exchange: exchange, content: graph.None}
	unit, money := purchaseUnit(def.Unit, use), graph.Currency(string(def.Currency))
	if def.Unit == rates.PerHundred {
		hundred := s.Fixed("hundred", "hundred", graph.Plain, decimal.New(100, 0), "definition")
		o.content = s.Multiply("pieces-per-hundred", "pieces per hundred", hundred, s.One(use))
	}
	if def.Unit == rates.PerPack {
		o.content = s.Number("pack-content", "content of a pack", use, bom.Needed(def.PackContent), "pack_content")
	}
	o.moq = s.Optional("moq", "least quantity sold", unit, def.MOQ, "moq")
	o.value = s.Optional("leftover-value", "share of the price credited for leftover", graph.Plain, def.LeftoverValue, "leftover_value")
	o.multiple = s.Optional("multiple", "order multiple", unit, def.Multiple, "multiple")
	for i, b := range def.Breaks {
		path := "breaks[" + strconv.Itoa(i) + "]"
		at := s.In("break", o.breakName(i))
		o.from = append(o.from, at.Number("from", "quantity the price holds from", unit, b.From, path+".from"))
		o.price = append(o.price, at.Number("price", "price from "+o.breakName(i), money.Per(unit), b.Price, path+".price"))
	}
	o.metals = newMetals(s, def.Metals, use, metal)
	o.cut = s.Optional("cut-charge", "charge for a cut", money, def.CutCharge, "cut_charge")
	o.least = s.Optional("least-value", "least value of an order", money, def.LeastValue, "least_value")
	o.fixed, o.each, o.share = graph.None, graph.None, graph.None
	if in := def.Inbound; in != nil {
		o.fixed = s.Optional("inbound-fixed", "inbound cost per order", money, in.Fixed, "inbound.fixed")
		o.each = s.Optional("inbound-per-unit", "inbound cost per purchase unit", money.Per(unit), in.PerUnit, "inbound.per_unit")
		o.share = s.Optional("inbound-share", "inbound cost as a share of value", graph.Plain, in.Share, "inbound.share_of_value")
	}
	charges := []graph.ID{o.fixed}
	for i, c := range def.OrderCharges {
		charges = append(charges, s.In("charge", bom.Slug(c.Name)).Number("amount", c.Name+", per order", money, c.Amount, "order_charges["+strconv.Itoa(i)+"].amount"))
	}
	o.fixed = s.Total("per-order", "charges and inbound cost per order", charges...)
	return o
}

// purchaseUnit is what one purchase unit is measured in.
func purchaseUnit(u rates.PurchaseUnit, use graph.Unit) graph.Unit {
	switch u {
	case rates.PerKilogram:
		return graph.Kilogram
	case rates.PerMetre:
		return graph.Metre
	case rates.PerHundred, rates.PerPack:
		return graph.Plain
	default:
		return use
	}
}

// breakName names a break by the quantity it was entered with.
func (o Offer) breakName(i int) string { return o.def.Breaks[i].From.Likely.String() }
