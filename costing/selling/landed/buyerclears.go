package landed

import (
	"kerfbook/costing/graph"
)

// buyerClears is the sale with charges at the door, or tax at checkout where the
// seller collects it. (L9)
func (w *work) buyerClears(g goods, d delivery, in declaration, values []graph.ID, f *Figures) Settlement {
	var of []outcome
	for i, r := range w.regimes {
		s := w.s.In("regime", string(r.ID))
		if len(w.unknown[i]) > 0 {
			of = append(of, blankOutcome(w.gap(s, r.Name, w.unknown[i])))
			continue
		}
		of = append(of, w.atBorder(s, r, values, g, in, f.IntrinsicValue, func(duty graph.ID) graph.ID {
			// On the full consideration, delivery included, whatever the customs value is (L7).
			return w.sellerTax(s, w.taxes, g, d, duty, r.TaxInOne)
		}))
	}
	regime := w.choose(w.s, w.measuresBuyerClears(in, values, f))
	return w.settleBuyerClears(g, d, w.picked(w.s, regime, of), regime)
}

// settleBuyerClears adds up what the buyer pays and what the seller keeps. (L9)
func (w *work) settleBuyerClears(g goods, d delivery, o outcome, regime graph.ID) Settlement {
	s := w.s.In("buyer-clears").By("L9")
	out := Settlement{Regime: regime, Duty: o.duty, Charges: o.charges, Tax: o.tax, Clearance: o.clearance, Door: o.atDoor, Collected: o.atSeller}
	out.Price = s.Add("price", "paid to the seller", g.sum, d.charged, o.atSeller)
	out.Total = s.Sum("total", "landed price, buyer clears", out.Price, o.atDoor)
	return w.seller(s, out, d, g.sum, o.atSeller)
}
