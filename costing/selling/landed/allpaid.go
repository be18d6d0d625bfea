package landed

import (
	"fmt"

	"kerfbook/costing/graph"
	"kerfbook/costing/selling/exchange"
	"kerfbook/costing/selling/price"
)

// allPaidPrice is the all-paid price of the consignment: as entered, or the landed
// price where the buyer clears rounded up to a price people are willing to see. (L9)
func (w *work) allPaidPrice(s graph.Scope, buyerClears graph.ID) graph.ID {
	if b := w.consignment.Basket; b != nil {
		if b.DeliveredPrice == nil {
			return w.pricePoint(s, "price", buyerClears, w.money)
		}
		entered := s.From(graph.Source{Where: "basket " + string(b.ID), Path: w.consignment.BasketPath}).
			Number("entered-price", "all-paid price of the basket as entered", w.money, *b.DeliveredPrice, "delivered_price")
		return s.Add("price", "all-paid price", entered)
	}
	var entered []graph.ID
	for _, l := range w.consignment.Lines {
		n, at, ok := w.deliveredPrice(l)
		if !ok {
			return w.pointOfPieces(s, buyerClears)
		}
		each := s.In("line", l.Key).Within(fmt.Sprintf("delivered_prices[%d]", at)).
			Number("entered-price", "all-paid price of one "+l.Name+" as entered", w.money.Per(graph.Piece), n, "price")
		entered = append(entered, s.In("line", l.Key).Multiply("entered-price-of-all", "all-paid price of all "+l.Name, each, l.Quantity))
	}
	return s.Add("price", "all-paid price", entered...)
}

// pointOfPieces rounds the price of one piece where there is one kind of goods, and
// that of the consignment otherwise. People compare the price of one; of a mixed
// consignment nobody sees another price than the whole.
func (w *work) pointOfPieces(s graph.Scope, buyerClears graph.ID) graph.ID {
	if len(w.consignment.Lines) != 1 {
		return w.pricePoint(s, "price", buyerClears, w.money)
	}
	q := w.consignment.Lines[0].Quantity
	each := w.pricePoint(s, "price-of-one", s.Divide("total-of-one", "landed price of one piece, buyer clears", buyerClears, q), w.money.Per(graph.Piece))
	return s.Multiply("price", "all-paid price", each, q)
}

// pricePoint is the smallest price not below the target that the rule allows: that
// of the destination, of the channel where its currency is the book's, or none but
// the minor unit.
func (w *work) pricePoint(s graph.Scope, name string, target graph.ID, unit graph.Unit) graph.ID {
	return w.pointRule(s, unit).Reach(s, price.PointPrice{Price: name, Label: "all-paid price", Above: name + "-above-ending", Base: name + "-without-ending"}, target)
}

func (w *work) pointRule(s graph.Scope, unit graph.Unit) price.Point {
	def, of := w.ctx.Destination.PricePoint, w.place()
	// An ending in .90 means nothing in another currency, so that the channel's holds
	// in its own alone.
	inBook := def == nil && w.to == w.ctx.Currency && w.ctx.Channel != nil && w.ctx.Channel.Def.PricePoint != nil
	switch {
	case unit == w.money && inBook:
		return w.ctx.Channel.Point
	case unit == w.money:
		return price.NewPoint(of, unit, def, w.minor)
	case inBook:
		return w.ctx.Channel.Point.PerPiece(s)
	case def == nil:
		return price.NewPoint(of, unit, nil, exchange.SmallestPrice(w.root, w.to))
	default:
		return price.NewPoint(of, w.money, def, w.minor).PerPiece(s)
	}
}

// allPaid is the sale at one price that covers delivery, duty, tax and
// clearance. What is declared follows backwards from the price, regime by
// regime; the first regime whose own value keeps within its threshold applies,
// or the last. (L5, L9)
func (w *work) allPaid(g goods, d delivery, in declaration, f *Figures) Settlement {
	s := w.s.In("all-paid")
	price := w.allPaidPrice(s.By("L9"), f.BuyerClears.Total)
	cost := w.declaredCost(s, in, d)
	var of []outcome
	var back []backward
	for i, r := range w.regimes {
		rs := s.In("regime", string(r.ID))
		if len(w.unknown[i]) > 0 {
			gap := w.gap(rs, r.Name, w.unknown[i])
			back, of = append(back, w.blankBackward(gap)), append(of, blankOutcome(gap))
			continue
		}
		// Each regime reads another value out of the same price: one with duty leaves less
		// for the goods than one without.
		b := w.backward(rs, r, price, cost, g)
		back = append(back, b)
		of = append(of, w.atBorder(rs, r, b.values, g, cost, b.fees, func(graph.ID) graph.ID {
			// By difference, so that net and tax always add up to the price on the shelf.
			exact := rs.By("L7").Subtract("tax-unrounded", "tax in the price before rounding", price, b.net)
			return w.round(rs.By("L7"), "tax", "tax in the price", exact)
		}))
	}
	regime := w.choose(s, w.measuresBack(s, back))
	return w.settleAllPaid(s, price, d, regime, of, back)
}

// declaredCost is the delivery contained in the price, as customs sees it. At cost,
// not as charged: in this sale nothing is charged beside the price.
func (w *work) declaredCost(s graph.Scope, in declaration, d delivery) declaration {
	s = s.By("L5")
	rate := w.customsRate()
	cost := s.Add("delivery", "delivery contained in the price", d.costBook)
	cost = graph.Or(s.Multiply("declared-delivery", "delivery contained in the price, at the customs rate of exchange", d.costBook, rate), cost)
	return w.splitDelivery(s, "delivery", in, cost)
}

// settleAllPaid adds up what the seller keeps of the price.
func (w *work) settleAllPaid(s graph.Scope, price graph.ID, d delivery, regime graph.ID, of []outcome, back []backward) Settlement {
	s = s.By("L9")
	o := w.picked(s, regime, of)
	nets := make([]graph.ID, len(back))
	for i, b := range back {
		nets[i] = b.net
	}
	net := w.pick(s, "net", "price without tax", regime, nets)
	out := Settlement{Regime: regime, Price: price, Duty: o.duty, Charges: o.charges, Tax: o.tax, Clearance: o.clearance, Collected: graph.None,
		// A figure of 0, since that is what is promised.
		Door: s.Add("at-door", "due at the door", s.Zero(w.money)), Total: s.Add("total", "landed price, all paid", price)}
	out = w.seller(s, out, d, w.goodsIn(s, net, d, o.duty, o.charges, o.clearance), o.tax, o.duty, o.charges, o.clearance)
	w.keepsMargin(s, out)
	return out
}
