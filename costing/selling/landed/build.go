package landed

import (
	"fmt"
	"strings"

	"kerfbook/costing/graph"
	"kerfbook/costing/trade"
)

// Build writes the figures of a consignment to a destination. s must have no
// prefix; keys start with destination/PLACE/CONSIGNMENT. The error joins a
// *MissingError for everything the book lacks; then nothing has been written.
func Build(s graph.Scope, ctx Context, c Consignment) (Figures, error) {
	p, err := newPlan(ctx, c)
	if err != nil {
		return Figures{}, err
	}
	w := newWork(s, p)
	if regions := ctx.Tables.TaxRegions(ctx.Destination); ctx.Destination.Region == "" && len(regions) > 0 {
		w.s.Find(graph.Warning, "", fmt.Sprintf("%s: its taxes differ by region and none is entered, so those of the country alone are in the price; write the region, one of %s",
			ctx.Destination.Place(), strings.Join(regions, ", ")))
	}
	f := Figures{
		Place: ctx.Destination.Place(), Currency: p.to, Reclaims: ctx.Destination.BuyerReclaims,
		Consumer: graph.None, IntrinsicValue: graph.None, CustomsValue: graph.None, Regime: graph.None,
	}
	g := w.goods()
	d := w.delivery(g)
	f.Consumer = w.consumerPrice()
	f.Goods, f.Freight, f.Insurance, f.Delivery = g.sum, d.freight, d.insurance, d.charged
	if p.within {
		w.settleWithin(&f, g, d)
	} else {
		w.settleImport(&f, g, d)
	}
	return f, nil
}

// settleImport writes both ways of selling across a customs border.
func (w *work) settleImport(f *Figures, g goods, d delivery) {
	for _, note := range w.rule.Value.Notes {
		w.s.Find(graph.Note, "", f.Place+": "+note)
	}
	w.from(w.rule.Provenance)
	for _, r := range w.regimes {
		f.Regimes = append(f.Regimes, Regime{string(r.ID), r.Name})
	}
	in := w.declare(g, d)
	values := w.customsValues(in)
	f.CustomsValue = w.s.By("L5").Add("customs-value", "customs value", values...)
	f.IntrinsicValue = w.round(w.s, "intrinsic-value", "intrinsic value of the consignment", in.sum)
	f.BuyerClears = w.buyerClears(g, d, in, values, f)
	// The all-paid sale chooses for itself: its declared value follows from its price.
	f.Regime = f.BuyerClears.Regime
	f.AllPaid = w.allPaid(g, d, in, f)
}

// outcome is what one regime makes of a consignment.
type outcome struct {
	value     graph.ID // customs value
	duty      graph.ID
	charges   graph.ID
	base      graph.ID // of import tax; the zero of money where none is levied
	tax       graph.ID // whoever collects it
	clearance graph.ID
	// atSeller is the part of duty and tax the buyer pays to the seller, who
	// owes it on.
	atSeller graph.ID
	// atDoor is what is due at the door.
	atDoor graph.ID
}

// atBorder writes duty, charges, tax and clearance of a regime from customs
// values. Delivery as declared joins the base of import tax, worth is the goods
// value that charges and fees look at, and seller writes the tax where the seller
// collects it.
func (w *work) atBorder(s graph.Scope, r trade.Regime, values []graph.ID, g goods, d declaration, worth graph.ID, seller func(duty graph.ID) graph.ID) outcome {
	// Each rests on those before: duty on the customs value, tax on both (source
	// `eu-vat-directive`), the carrier's fee on what it advances.
	o := outcome{value: s.By("L5").Add("customs-value", "customs value", values...)}
	o.duty = w.regimeDuty(s, r, values, g)
	ch := w.chargesOn(s, r, worth)
	o.charges = ch.sum
	// Only the fixed part can be in the base of tax: the other is a share of the tax.
	fixed := w.fixedFee(s, worth)
	advanced := []graph.ID{o.duty, o.charges}
	zero := s.Zero(w.money)
	o.base, o.atSeller = zero, zero
	switch r.Tax {
	case trade.TaxAtBorder:
		beside := []graph.ID{ch.inBase}
		if w.rule.Value.Base.Freight {
			beside = append(beside, w.beyondValue(d))
		}
		if w.rule.Value.Base.Clearance {
			beside = append(beside, fixed)
		}
		o.base, o.tax = w.importTax(s, r, o, values, beside, d)
		advanced = append(advanced, o.tax)
	case trade.TaxBySeller:
		charged := graph.None
		if r.DutyRecharged { // the duty is part of the consideration
			charged = o.duty
		}
		o.tax = seller(charged)
		o.atSeller = o.tax
		// The seller's tax does not reach a duty that the buyer pays at the border.
		if r.DutyTaxedApart {
			onDuty := w.borderTax(s.In("on-duty"), o.duty)
			o.charges = s.By("L7").Add("charges-with-tax-on-duty", "import charges and tax on the duty", o.charges, onDuty)
			advanced = append(advanced, onDuty)
		}
	default:
		// A node and no None, so that At can pick among the regimes.
		o.tax = s.By("L7").Add("tax", "no tax", zero)
	}
	if r.Cleared() {
		o.clearance = w.clearanceFee(s, fixed, s.Add("advanced", "duty, charges and tax advanced", advanced...))
	} else {
		o.clearance = s.By("L8").Add("clearance", "nothing to clear", zero)
	}
	return w.divideDues(s, r, o)
}

// divideDues tells what is due at the door from what the seller collects.
func (w *work) divideDues(s graph.Scope, r trade.Regime, o outcome) outcome {
	door := []graph.ID{o.charges, o.clearance}
	if r.DutyRecharged {
		o.atSeller = s.Add("due-to-seller", "tax and duty collected by the seller", o.atSeller, o.duty)
	} else {
		door = append(door, o.duty)
	}
	if r.Tax == trade.TaxAtBorder {
		door = append(door, o.tax)
	}
	o.atDoor = s.By("L9").Add("due-at-door", "due at the door", door...)
	return o
}

// importTax is the base of import tax and the tax: in one, or by kind of goods
// where the ladder says so. (L7)
func (w *work) importTax(s graph.Scope, r trade.Regime, o outcome, values, beside []graph.ID, d declaration) (base, tax graph.ID) {
	if w.rule.Value.Ladder.ByLine {
		return w.taxByLine(s, r, o, values, beside, d)
	}
	base = w.taxBase(s, append([]graph.ID{o.value, o.duty}, beside...))
	return base, w.borderTax(s, base)
}

// taxBase adds up what import tax falls on: unrounded customs value, duty,
// charges, freight and insurance not yet in it, and clearance where the place
// counts it; then the ladder's step for the base. (L7)
func (w *work) taxBase(s graph.Scope, parts []graph.ID) graph.ID {
	s = s.By("L7")
	steps := w.rule.Value.Ladder.Base
	if len(steps) == 0 {
		return w.total(s, "tax-base", "base of import tax", parts...)
	}
	return w.ladder(s, "tax-base", "base of import tax", w.total(s, "tax-base-unrounded", "base of import tax before rounding", parts...), steps)
}

// beyondValue is the delivery that is not in the customs value: that behind the
// border, or all of it on the FOB basis.
func (w *work) beyondValue(d declaration) graph.ID {
	if w.rule.Value.Basis == trade.FOB {
		return d.whole
	}
	return d.inland
}
