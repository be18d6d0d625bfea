package landed

import (
	"kerfbook/costing/graph"
	"kerfbook/costing/reference"
	"kerfbook/costing/trade"
)

// charges are the import charges of a regime: those within the tax base and all.
type charges struct {
	sum    graph.ID
	inBase graph.ID // None without
}

// chargesOn writes the charges due at import beside duty and tax, on a value of
// goods.
func (w *work) chargesOn(s graph.Scope, r trade.Regime, value graph.ID) charges {
	var all, base []graph.ID
	for _, c := range w.charges {
		if !c.Value.On(r) {
			continue
		}
		amount := w.charge(s.In("charge", string(c.Value.ID)), c, value)
		all = append(all, amount)
		if c.Value.InTaxBase {
			base = append(base, amount)
		}
	}
	return charges{
		sum:    w.total(s, "charges", "import charges beside duty and tax", all...),
		inBase: s.Total("charges-in-base", "import charges in the tax base", base...),
	}
}

// charge is one charge with its limits by value and the tax on it.
func (w *work) charge(s graph.Scope, c reference.Row[trade.ImportCharge], value graph.ID) graph.ID {
	v := c.Value
	in := dated(w.root.In("import-charge", keyPart(v.Place), string(v.ID)).From(w.from(c.Provenance)), v.From)
	amount := w.round(s, "amount", v.Name, w.chargeAmount(s, in, v, value))
	// Both sides of a limit are built: which holds depends on a price that may vary.
	if v.Above != nil {
		limit := w.ruleAmount(in, "above", "goods value above which "+v.Name+" is due", *v.Above, v.Currency, "above_goods_value")
		amount = s.Choose("above-limit", v.Name+", only above its limit", value, graph.Greater, limit, amount, s.Zero(w.money))
	}
	if v.UpTo != nil {
		limit := w.ruleAmount(in, "up-to", "goods value up to which "+v.Name+" is due", *v.UpTo, v.Currency, "up_to_goods_value")
		amount = s.Choose("within-limit", v.Name+", only up to its limit", value, graph.LessOrEqual, limit, amount, s.Zero(w.money))
	}
	if v.Tax == nil {
		return amount
	}
	// On the charge alone, as GST on New Zealand's levies (source `nz-levy-forum`): it
	// counts as charge and not as import tax.
	rate := in.Shared("tax", "tax on "+v.Name, graph.Plain, *v.Tax, "tax_on_charge")
	tax := w.round(s, "tax", "tax on "+v.Name, s.Multiply("tax-unrounded", "tax on "+v.Name+" before rounding", amount, rate))
	return s.Add("with-tax", v.Name+" with tax", amount, tax)
}

// chargeAmount is the amount of a charge before rounding: an amount by count and
// a share of the goods, within minimum and maximum.
func (w *work) chargeAmount(s, in graph.Scope, v trade.ImportCharge, value graph.ID) graph.ID {
	var parts []graph.ID
	if v.Amount != nil {
		each := w.ruleAmount(in, "amount", v.Name, *v.Amount, v.Currency, "amount")
		parts = append(parts, s.Multiply("counted", v.Name+" by count", each, w.count(v.Counted)))
	}
	share := in.Optional("share", "share of "+v.Name, graph.Plain, v.Share, "share_of_goods")
	parts = append(parts, s.Multiply("by-value", v.Name+" by value", value, share))
	amount := w.total(s, "unlimited", v.Name+" before limits", parts...)
	if v.Minimum != nil {
		amount = s.Maximum("at-least", v.Name+", at least", amount, w.ruleAmount(in, "minimum", "least "+v.Name, *v.Minimum, v.Currency, "minimum"))
	}
	if v.Maximum != nil {
		amount = s.Minimum("at-most", v.Name+", at most", amount, w.ruleAmount(in, "maximum", "greatest "+v.Name, *v.Maximum, v.Currency, "maximum"))
	}
	return amount
}

func (w *work) count(unit trade.CountingUnit) graph.ID {
	switch unit {
	case trade.ByClass:
		return w.itemClasses()
	case trade.ByLine:
		return w.s.Once("lines", func() graph.ID { return whole(w.s, "lines", "lines of the consignment", len(w.consignment.Lines)) })
	default:
		return w.s.One(graph.Plain)
	}
}
