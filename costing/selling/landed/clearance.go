package landed

import (
	"fmt"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
	"kerfbook/costing/trade"
)

// clearanceScope is where the carrier's terms of clearance stand.
func (w *work) clearanceScope() graph.Scope {
	return w.carrier.Scope(w.root).In("clearance", keyPart(w.clearanceTerms().Places[0])).Within(fmt.Sprintf("clearance[%d]", w.carrier.TermsAt))
}

// clearanceAmount writes an amount of the terms in the destination's currency.
func (w *work) clearanceAmount(name, label string, n bom.Number, path string) graph.ID {
	return w.entered(w.clearanceScope(), name, label, graph.Plain, n, w.clearanceTerms().Currency, rates.ForSelling, path)
}

// clearanceTerms are the carrier's terms of clearance at the place; nil without.
func (w *work) clearanceTerms() *trade.Clearance {
	if w.carrier == nil {
		return nil
	}
	return w.carrier.Terms()
}

// fixedFee is the part of the fee that does not depend on what is advanced: an
// amount, or an amount by the value of the goods. None without. (L8)
func (w *work) fixedFee(s graph.Scope, value graph.ID) graph.ID {
	terms := w.clearanceTerms()
	switch {
	case terms == nil || len(terms.Tiers) == 0 && terms.Fixed == nil:
		return graph.None
	case len(terms.Tiers) == 0:
		return w.clearanceAmount("fixed", "fixed fee for clearance", *terms.Fixed, "fixed")
	}
	axis := graph.Axis{X: value}
	var fees []graph.ID
	for i, t := range terms.Tiers {
		tier := fmt.Sprintf("tier-%d", i+1)
		fees = append(fees, w.clearanceAmount(tier, "fee for clearance, "+tier, t.Fixed, fmt.Sprintf("tiers[%d].fixed", i)))
		if t.UpTo == nil {
			break
		}
		// The last tier is open above, whether it says so or not.
		if i < len(terms.Tiers)-1 {
			axis.Edges = append(axis.Edges, w.clearanceAmount(tier+"-up-to", "upper end of "+tier, *t.UpTo, fmt.Sprintf("tiers[%d].up_to", i)))
			axis.Bands.BelowClosed = append(axis.Bands.BelowClosed, t.Closed)
		}
	}
	return s.By("L8").Band("clearance-fixed", "fee for clearance by the value of the goods", axis, fees...)
}

// clearanceFee is what the carrier asks for clearing a consignment for which it
// advances an amount: nothing where nothing is advanced. (L8)
func (w *work) clearanceFee(s graph.Scope, fixed, advanced graph.ID) graph.ID {
	s = s.By("L8")
	c := w.clearanceTerms()
	if c == nil {
		return s.Add("clearance", "no fee for clearance", s.Zero(w.money))
	}
	fee := w.total(s, "clearance-fee", "fee for clearance", fixed, w.disbursement(s, advanced))
	rate := w.clearanceScope().Optional("tax", "tax on the fee for clearance", graph.Plain, c.Tax, "tax_on_fee")
	fee = graph.Or(s.Add("clearance-with-tax", "fee for clearance with tax", fee, s.Multiply("clearance-tax", "tax on the fee for clearance", fee, rate)), fee)
	rounded := w.round(s, "clearance-if-cleared", "fee for clearance, rounded", fee)
	zero := s.Zero(w.money)
	// The fee is for paying at the border in the buyer's place (L8): below a limit there
	// is nothing to pay.
	return s.Choose("clearance", "fee for clearance, if anything is advanced", advanced, graph.Greater, zero, rounded, zero)
}

// disbursement is the share of duty and tax advanced, within its limits; None
// without.
func (w *work) disbursement(s graph.Scope, advanced graph.ID) graph.ID {
	c := w.clearanceTerms()
	share := w.clearanceScope().Optional("share-of-advanced", "share of duty and tax advanced", graph.Plain, c.Share, "share_of_advanced")
	part := s.Multiply("disbursement-share", "share of duty and tax advanced", advanced, share)
	if c.Minimum != nil {
		least := w.clearanceAmount("minimum", "least disbursement fee", *c.Minimum, "minimum")
		if part == graph.None {
			part = least
		} else {
			part = s.Maximum("disbursement-at-least", "disbursement fee, at least", part, least)
		}
	}
	if c.Maximum != nil && part != graph.None {
		part = s.Minimum("disbursement-at-most", "disbursement fee, at most", part, w.clearanceAmount("maximum", "greatest disbursement fee", *c.Maximum, "maximum"))
	}
	return part
}
