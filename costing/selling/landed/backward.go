package landed

import (
	"kerfbook/costing/graph"
	"kerfbook/costing/trade"
)

// backward is what one regime reads out of an all-paid price.
type backward struct {
	net    graph.ID   // price without tax
	values []graph.ID // customs value of each line
	sum    graph.ID   // customs value
	worth  graph.ID   // intrinsic value: a price that contains delivery counts whole
	fees   graph.ID   // value that charges by value fall on
}

// backward solves CV = (T/(1 + v) − F₂)/(1 + d) on the CIF basis and CV = (T/(1 +
// v) − F₁ − F₂ − I)/(1 + d) on the FOB basis, line by line. Where tax falls on less
// than the whole price, what bears none is taken out before the tax. (L5) The order
// is that of atBorder turned round: tax came last, so that it goes first.
func (w *work) backward(s graph.Scope, r trade.Regime, price graph.ID, cost declaration, g goods) backward {
	s = s.By("L5")
	beyond := w.beyondValue(cost)
	// Where the base of tax leaves delivery out, that bears no tax and must not be
	// divided by 1 + tax.
	rest, inBase := price, beyond
	if r.Tax == trade.TaxAtBorder && !w.rule.Value.Base.Freight {
		rest = graph.Or(s.Subtract("taxed-price", "price less what bears no tax", price, beyond), rest)
		inBase = graph.None
	}
	rate := graph.None
	if r.Tax != trade.NoTax {
		rate = w.combinedRate("tax-rate", w.taxes)
	}
	b := backward{net: w.withoutTax(s, rest, rate)}
	goods := b.net
	for _, out := range []struct {
		name, label string
		amount      graph.ID
	}{
		{"net-of-delivery", "less delivery not in the customs value", inBase},
		// The fee is priced by the price itself: the value of the goods it depends on is what
		// is being solved for.
		{"net-of-clearance", "less clearance in the tax base", w.clearanceInBase(s, r, price)},
		{"net-of-flat-duty", "less duty by item classes", w.flatDuty(s, r)},
	} {
		goods = graph.Or(s.Subtract(out.name, "price without tax, "+out.label, goods, out.amount), goods)
	}
	b.sum = w.withoutDuty(s, r, goods, cost, g)
	for i, l := range w.consignment.Lines {
		part := cost.share(s.In("line", l.Key), "part-of-value", "part of "+l.Name+" in the customs value", i, b.sum)
		b.values = append(b.values, s.In("line", l.Key).Add("customs-value", "customs value of "+l.Name, part))
	}
	return w.worthBack(s, b, beyond)
}

// worthBack writes the values a threshold and charges look at. Delivery that the
// price contains counts as goods, except for charges where the customs value leaves
// freight out. The intrinsic value leaves out only transport that is shown apart,
// which one price for all does not do: source `spanish-low-value-manual`.
func (w *work) worthBack(s graph.Scope, b backward, beyond graph.ID) backward {
	worth := b.sum
	worth = graph.Or(s.Add("implied-worth", "goods and delivery implied by the price", b.sum, beyond), worth)
	b.worth = w.round(s, "intrinsic-value", "intrinsic value implied by the price", worth)
	b.fees = b.worth
	if w.rule.Value.Basis == trade.FOB {
		b.fees = w.round(s, "value-for-charges", "value of the goods implied by the price, rounded", b.sum)
	}
	return b
}

// clearanceInBase is the fixed fee where the place taxes it.
func (w *work) clearanceInBase(s graph.Scope, r trade.Regime, price graph.ID) graph.ID {
	if r.Tax != trade.TaxAtBorder || !w.rule.Value.Base.Clearance {
		return graph.None
	}
	return w.fixedFee(s.In("backward"), price)
}

func (w *work) flatDuty(s graph.Scope, r trade.Regime) graph.ID {
	if r.Duty != trade.FlatPerClass {
		return graph.None
	}
	return s.By("L6").Multiply("flat-duty", "duty by item classes", w.flat(r), w.itemClasses())
}

// measuresBack looks at what each regime reads out of the price.
func (w *work) measuresBack(s graph.Scope, back []backward) measures {
	return func(t *trade.Threshold, number int) graph.ID {
		b, rs := back[number], s.In("regime", string(w.regimes[number].ID))
		switch {
		case t.Basis == trade.PerItem && t.Measure != trade.CustomsValue && len(b.values) == 1:
			return w.perPiece(rs, "item-value", "value implied by the price", []graph.ID{b.worth})
		case t.Basis == trade.PerItem:
			return w.perPiece(rs, "item-value", "value implied by the price", b.values)
		case t.Measure == trade.CustomsValue:
			return w.round(rs, "customs-value-compared", "customs value as compared with limits", b.sum)
		default:
			return b.worth
		}
	}
}
