package purchase

import (
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
)

// Need is what must be bought, counted as the shop uses it: pieces of a part, or what
// it is counted in, or plain numbers of bars, plates or sheets.
type Need struct {
	Quantity graph.ID // whole pieces or plain; not rounded in any other unit
	MassKg   graph.ID // kg per unit of use; None if offers by the kilogram cannot be used
	LengthM  graph.ID // m per unit of use; None if it is used by the metre
}

// Order is a purchase at the best offer.
type Order struct {
	Bought graph.ID // unit of use
	Cost   graph.ID // book currency, with inbound cost
	// LeftoverValue is the share of the price credited for leftover of a
	// bought part; None for none.
	LeftoverValue graph.ID
}

// Build writes one order per offer and takes the one that costs least, the
// first on ties. There must be at least one offer.
func Build(s graph.Scope, need Need, offers []Offer) Order {
	orders := make([]Order, len(offers))
	for i, o := range offers {
		orders[i] = build(s.In("order", string(o.def.Supplier)).From(o.source).By("B1"), need, o)
	}
	if len(orders) == 1 {
		return orders[0]
	}
	var costs, bought, values []graph.ID
	credited := false
	for _, o := range orders {
		costs, bought, values = append(costs, o.Cost), append(bought, o.Bought), append(values, o.LeftoverValue)
		credited = credited || o.LeftoverValue != graph.None
	}
	s = s.By("B1")
	// By cash, before any credit for what is left over: it may never be used (B1).
	best := s.Least("best-offer", "offer that costs least", costs...)
	out := Order{
		Bought:        s.At("bought", "bought", best, bought...),
		Cost:          s.At("bought-cost", "cost of what is bought", best, costs...),
		LeftoverValue: graph.None,
	}
	if credited {
		for i, v := range values {
			if v == graph.None {
				values[i] = s.Zero(graph.Plain)
			}
		}
		out.LeftoverValue = s.At("leftover-value", "share of the price credited for leftover", best, values...)
	}
	return out
}

// build writes one order: the quantity B1 gives for the need, or the quantity
// at a higher break where that costs less in all.
func build(s graph.Scope, need Need, o Offer) Order {
	n := newNumbers(s, need, o)
	n.added = n.metal(need)
	base := n.quantity("base", "quantity without going up to a break", graph.None)
	quantities, costs := []graph.ID{base}, []graph.ID{n.cost("base", "without going up to a break", base)}
	// More pieces at the next break may cost less than just enough below it (B1); what is
	// then too much is left over.
	for i := 1; i < len(o.from); i++ {
		at := o.breakName(i)
		q := n.quantity("up-to-"+at, "quantity when going up to the break at "+at, n.from[i])
		quantities, costs = append(quantities, q), append(costs, n.cost("up-to-"+at, "when going up to the break at "+at, q))
	}
	quantity, cost := quantities[0], costs[0]
	if len(quantities) > 1 {
		best := s.Least("best-quantity", "quantity that costs least", costs...)
		quantity = s.At("best-order", "order quantity if anything is needed", best, quantities...)
		cost = s.At("best-cost", "order cost if anything is needed", best, costs...)
	}
	return n.order(quantity, cost)
}

// numbers are the figures of one offer for one need.
type numbers struct {
	Offer
	s      graph.Scope
	perUse graph.ID // purchase units per unit of use; None if they are the same
	added  graph.ID // by metals to the price of a purchase unit; None for nothing
	need   graph.ID // in purchase units
}

func newNumbers(s graph.Scope, need Need, o Offer) *numbers {
	n := &numbers{Offer: o, s: s, perUse: graph.None, need: need.Quantity}
	switch o.def.Unit {
	case rates.PerHundred:
		n.need = s.Divide("need", "need in hundreds", need.Quantity, o.content)
		return n
	case rates.PerPack:
		n.need = s.Divide("need", "need in packs", need.Quantity, o.content)
		if n.multiple == graph.None {
			n.multiple = s.One(graph.Plain) // packs are not opened
		}
		return n
	case rates.PerKilogram:
		n.perUse = need.MassKg
	case rates.PerMetre:
		n.perUse = need.LengthM
	default:
		return n
	}
	if n.perUse == graph.None { // used by the metre as it is sold
		return n
	}
	n.need = s.Multiply("need", "need in purchase units", need.Quantity, n.perUse)
	// What is sold by mass or length and used by the piece still comes in whole pieces.
	switch unit := s.Unit(need.Quantity); {
	case n.multiple != graph.None:
	case unit == graph.Plain:
		n.multiple = n.perUse
	case unit == graph.Piece:
		n.multiple = s.Multiply("whole-piece", "one piece in purchase units", n.perUse, s.One(graph.Piece))
	}
	return n
}

// quantity is ceil(max(need, MOQ, break) ÷ multiple) × multiple.
func (n *numbers) quantity(name, label string, atLeast graph.ID) graph.ID {
	s, floor := n.s, []graph.ID{n.need}
	for _, id := range []graph.ID{n.moq, atLeast} {
		if id != graph.None {
			floor = append(floor, id)
		}
	}
	q := n.need
	if len(floor) > 1 {
		q = s.Maximum("least-"+name, label+", before the multiple", floor...)
	}
	return graph.Or(s.Ceiling("quantity-"+name, label, q, n.multiple), q)
}

// cost is price at the quantity × quantity + inbound, in the offer's currency.
func (n *numbers) cost(candidate, when string, quantity graph.ID) graph.ID {
	s := n.s.In("candidate", candidate)
	// Below the first break its price holds: the least quantity is stated by moq alone.
	price := n.price[0]
	if len(n.price) > 1 {
		axis := graph.Axis{X: quantity, Edges: n.from[1:], Bands: graph.Bands{BelowClosed: make([]bool, len(n.from)-1)}}
		price = s.Band("price", "price at this quantity", axis, n.price...)
	}
	price = graph.Or(s.By("B3").Add("price-all", "price at this quantity with its metal", price, n.added), price)
	value := s.Multiply("value", "value of the order "+when, quantity, price)
	if n.cut != graph.None {
		value = s.Add("value-cut", "value of the order with cuts "+when, value, s.Multiply("cuts", "cuts "+when, n.inUse(s, quantity), n.cut))
	}
	value = graph.Or(s.Maximum("value-least", "value of the order, the least at least, "+when, value, n.least), value)
	each := s.Multiply("inbound-units", "inbound cost by purchase unit", quantity, n.each)
	share := s.Multiply("inbound-value", "inbound cost by value", value, n.share)
	return s.Total("cost", "cost of the order "+when, value, n.fixed, each, share)
}

// order gives nothing for no need, and translates quantity and cost into units
// of use and the currency of the book.
func (n *numbers) order(quantity, cost graph.ID) Order {
	s := n.s
	// Least quantity and fixed inbound cost bind whoever orders; for no need there is no
	// order.
	nothing := s.Zero(s.Unit(n.need))
	quantity = s.Choose("order-quantity", "order quantity", n.need, graph.Greater, nothing, quantity, nothing)
	free := s.Zero(s.Unit(cost))
	cost = s.Choose("order-cost", "order cost", n.need, graph.Greater, nothing, cost, free)
	cost = graph.Or(s.Multiply("order-cost-converted", "order cost in the currency of the book", cost, n.exchange), cost)
	return Order{Bought: n.inUse(s, quantity), Cost: cost, LeftoverValue: n.value}
}

// inUse translates a quantity into units of use.
func (n *numbers) inUse(s graph.Scope, quantity graph.ID) graph.ID {
	switch {
	case n.content != graph.None:
		return s.Multiply("bought", "bought, in units of use", quantity, n.content)
	case n.perUse != graph.None:
		return s.Divide("bought", "bought, in units of use", quantity, n.perUse)
	}
	return quantity
}

// Credit writes the credit for leftover and the cost charged to the batch:
// leftover × price paid × share. price is the cost of one unit of what is left,
// inbound included; value is the share, None for no credit.
func Credit(s graph.Scope, order Order, leftover, price, value graph.ID) graph.ID {
	if value == graph.None {
		return order.Cost
	}
	credit := s.Multiply("leftover-credit", "credit for leftover", leftover, price, value)
	return s.Subtract("charged", "cost charged to the batch", order.Cost, credit)
}

// Part writes B2, the leftover of a bought part, and gives the cost charged. The
// share credited is that of the offer chosen.
func Part(s graph.Scope, order Order, need graph.ID) graph.ID {
	s = s.By("B2")
	leftover := s.Subtract("leftover", "left over", order.Bought, need)
	if order.LeftoverValue == graph.None {
		return order.Cost
	}
	return Credit(s, order, leftover, PricePaid(s, leftover, order.Cost, order.Bought), order.LeftoverValue)
}

// PricePaid is cost ÷ bought where something is left over, and nothing where
// not, so that an order of nothing has a price.
func PricePaid(s graph.Scope, leftover, cost, bought graph.ID) graph.ID {
	// Per unit bought and not needed: what was paid to go up to a break is in it.
	paid := s.Divide("paid-per-unit", "price paid per unit, inbound included", cost, bought)
	return s.Choose("leftover-price", "price of what is left over", leftover, graph.Greater, s.Zero(s.Unit(leftover)), paid, s.Zero(s.Unit(paid)))
}
