package landed

import (
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
)

// backward is what one regime reads out of a duty-paid price.
type backward struct {
	net    graph.ID   // price without tax
	values []graph.ID // customs value of each line
	sum    graph.ID   // customs value
	worth  graph.ID   // intrinsic value: a price that contains delivery counts whole
}

// backward solves CV = (T/(1 + v) − F₂)/(1 + d) on the CIF basis and
// CV = (T/(1 + v) − F₁ − F₂ − I)/(1 + d) on the FOB basis, line by line. Where
// tax falls on less than the whole price, what bears none is taken out before
// the tax. (L5)
func (w *work) backward(s graph.Scope, r rates.Regime, price graph.ID, cost declared, g goods) backward {
	s = s.By("L5")
	beyond := w.beyondValue(cost)
	rest, inBase := price, beyond
	if r.Tax == rates.TaxAtBorder && !w.rule.Value.Base.Freight {
		if beyond != graph.None {
			rest = s.Subtract("taxed-price", "price less what bears no tax", price, beyond)
		}
		inBase = graph.None
	}
	b := backward{net: w.withoutTax(s, rest, w.rateOf(r))}
	goods := b.net
	for _, out := range []struct {
		name, label string
		amount      graph.ID
	}{
		{"net-of-delivery", "less delivery not in the customs value", inBase},
		{"net-of-clearance", "less clearance in the tax base", w.clearanceInBase(s, r, price)},
		{"net-of-flat-duty", "less duty by item classes", w.flatDuty(s, r)},
	} {
		if out.amount != graph.None {
			goods = s.Subtract(out.name, "price without tax, "+out.label, goods, out.amount)
		}
	}
	for i := range w.consignment.Lines {
		b.values = append(b.values, w.lineBack(s, r, i, cost, goods, g.pieces[i]))
	}
	b.sum = s.Add("implied-value", "customs value implied by the price", b.values...)
	worth := b.sum
	if beyond != graph.None {
		worth = s.Add("implied-worth", "goods and delivery implied by the price", b.sum, beyond)
	}
	b.worth = w.round(s, "intrinsic-value", "intrinsic value implied by the price", worth)
	return b
}

// rateOf is the combined tax rate contained in a price under a regime.
func (w *work) rateOf(r rates.Regime) graph.ID {
	if r.Tax == rates.NoTax {
		return graph.None
	}
	return w.combinedRate("tax-rate", w.taxes)
}

// clearanceInBase is the fixed fee where the place taxes it.
func (w *work) clearanceInBase(s graph.Scope, r rates.Regime, price graph.ID) graph.ID {
	if r.Tax != rates.TaxAtBorder || !w.rule.Value.Base.Clearance {
		return graph.None
	}
	return w.fixedFee(s.In("backward"), price)
}

func (w *work) flatDuty(s graph.Scope, r rates.Regime) graph.ID {
	if r.Duty != rates.FlatPerClass {
		return graph.None
	}
	return s.By("L6").Multiply("flat-duty", "duty by item classes", w.flat(r), w.itemClasses())
}

// lineBack takes the duty of a line out of its share of the price.
func (w *work) lineBack(s graph.Scope, r rates.Regime, line int, cost declared, goods, pieces graph.ID) graph.ID {
	l := w.consignment.Lines[line]
	s = s.In("line", l.Key)
	own := cost.share(s, "share-of-price", "part of "+l.Name+" in the price without tax", line, goods)
	if r.Duty != rates.TariffDuty {
		return s.Add("customs-value", "customs value of "+l.Name, own)
	}
	return w.withoutDuty(s, line, own, pieces)
}

// withoutDuty inverts the duty on a line. With a duty that is the greater of two
// amounts the customs value is the smaller of two solutions, and the other way
// round.
func (w *work) withoutDuty(s graph.Scope, line int, own, pieces graph.ID) graph.ID {
	label := "customs value of " + w.consignment.Lines[line].Name
	var terms []dutyTerms
	mixed := -1
	for i, r := range w.tariff[line] {
		terms = append(terms, w.terms(line, r, pieces))
		if c := r.Value.Duty.Combine; c == rates.TheGreater || c == rates.TheSmaller {
			mixed = i
		}
	}
	if mixed < 0 {
		return w.solve(s, "customs-value", label, own, terms)
	}
	combine := terms[mixed].combine
	terms[mixed].combine = rates.TheSum
	byValue, byQuantity := append([]dutyTerms{}, terms...), append([]dutyTerms{}, terms...)
	byValue[mixed].fixed, byQuantity[mixed].share = graph.None, graph.None
	a := w.solve(s, "customs-value-by-value", label+" if duty is by value", own, byValue)
	b := w.solve(s, "customs-value-by-quantity", label+" if duty is by quantity", own, byQuantity)
	if combine == rates.TheGreater {
		return s.Minimum("customs-value", label, a, b)
	}
	return s.Maximum("customs-value", label, a, b)
}

// solve gives the value V of V + Σ shares × V + Σ fixed = own.
func (w *work) solve(s graph.Scope, name, label string, own graph.ID, terms []dutyTerms) graph.ID {
	shares, fixed := []graph.ID{s.One(graph.Plain)}, []graph.ID(nil)
	for _, t := range terms {
		base := terms[0]
		if t.share != graph.None {
			shares = append(shares, t.share)
		}
		if t.fixed != graph.None {
			fixed = append(fixed, t.fixed)
		}
		if t.ofBase == graph.None {
			continue
		}
		if base.share != graph.None {
			shares = append(shares, s.Multiply(name+"-share-"+t.name, "share of the base duty in the value", t.ofBase, base.share))
		}
		if base.fixed != graph.None {
			fixed = append(fixed, s.Multiply(name+"-fixed-"+t.name, "share of the base duty by quantity", t.ofBase, base.fixed))
		}
	}
	if sum := s.Total(name+"-fixed-duty", "duty by quantity", fixed...); sum != graph.None {
		own = s.Subtract(name+"-with-duty-by-value", "less duty by quantity", own, sum)
	}
	return s.Divide(name, label, own, s.Add(name+"-duty-factor", "1 + duty by value", shares...))
}

// measuresBack looks at what each regime reads out of the price.
func (w *work) measuresBack(s graph.Scope, back []backward) measures {
	return func(t *rates.Threshold, number int) graph.ID {
		b, rs := back[number], s.In("regime", string(w.regimes[number].ID))
		switch {
		case t.Basis == rates.PerItem:
			return w.perPiece(rs, "item-value", "value implied by the price", w.itemValues(rs, t, b))
		case t.Measure == rates.CustomsValue:
			return w.round(rs, "customs-value-compared", "customs value as compared with limits", b.sum)
		default:
			return b.worth
		}
	}
}

// itemValues are the values of the lines a threshold per item looks at.
func (w *work) itemValues(s graph.Scope, t *rates.Threshold, b backward) []graph.ID {
	if t.Measure == rates.CustomsValue || len(b.values) > 1 {
		return b.values
	}
	return []graph.ID{b.worth}
}
