package landed

import (
	"slices"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/reference"
	"kerfbook/costing/trade"
)

// taxScope is where the figures of a tax row stand.
func (w *work) taxScope(r reference.Row[trade.TaxRow]) graph.Scope {
	v := r.Value
	place := trade.Destination{Country: v.Country, Region: v.Region}.Place()
	return dated(w.root.In("tax", place, string(v.ID)).From(w.from(r.Provenance)), v.From)
}

// taxRate is the rate of a row on its own base.
func (w *work) taxRate(r reference.Row[trade.TaxRow]) graph.ID {
	s, v := w.taxScope(r), r.Value
	rate := s.Shared("rate", "rate of "+v.Name, graph.Plain, v.Rate, "rate")
	// Japan's local tax is 22/78 of the national one (source `japan-simplified-rates`),
	// which no decimal states exactly.
	rate = graph.Or(s.Divide("quotient", "rate of "+v.Name, rate, s.Optional("per", "per", graph.Plain, v.Per, "per")), rate)
	// A rate on a price that contains the tax itself, as Brazil's ICMS: v/(1 − v) of the
	// price without it.
	if v.InsideBase {
		rest := s.Subtract("rest", "1 − rate", s.One(graph.Plain), rate)
		rate = s.Divide("on-base-without-tax", "rate of "+v.Name+" on the base without it", rate, rest)
	}
	share := s.Optional("base-share", "share of the base that is taxed", graph.Plain, v.BaseShare, "base_share")
	return graph.Or(s.Multiply("on-whole-base", "rate of "+v.Name+" on the whole base", rate, share), rate)
}

// effectiveRates are the rates of taxes on the net amount, those on or of other
// taxes included. (L7)
func (w *work) effectiveRates(rows []reference.Row[trade.TaxRow]) []graph.ID {
	out := make([]graph.ID, len(rows))
	for i, r := range rows {
		v, rate := r.Value, w.taxRate(r)
		// A row rests only on rows before it, so that one pass will do.
		parent := taxIndex(rows[:i], v.ShareOf)
		s := w.taxScope(r)
		switch {
		case parent >= 0:
			rate = s.Multiply("effective", "rate of "+v.Name+" on the net amount", rate, out[parent])
		case len(v.BaseContains) > 0:
			rate = s.Multiply("effective", "rate of "+v.Name+" on the net amount", rate,
				s.Add("base-factor", "1 + taxes in the base", append([]graph.ID{s.One(graph.Plain)}, contained(rows[:i], v.BaseContains, out)...)...))
		}
		out[i] = rate
	}
	return out
}

func taxIndex(rows []reference.Row[trade.TaxRow], id bom.ID) int {
	if id == "" {
		return -1
	}
	return slices.IndexFunc(rows, func(r reference.Row[trade.TaxRow]) bool { return r.Value.ID == id })
}

// contained picks the figures of the taxes named.
func contained(rows []reference.Row[trade.TaxRow], ids []bom.ID, figures []graph.ID) []graph.ID {
	var out []graph.ID
	for _, id := range ids {
		if i := taxIndex(rows, id); i >= 0 {
			out = append(out, figures[i])
		}
	}
	return out
}

// combinedRate is the rate of all taxes together on the net amount; None without
// any.
func (w *work) combinedRate(name string, rows []reference.Row[trade.TaxRow]) graph.ID {
	if len(rows) == 0 {
		return graph.None
	}
	return w.s.By("L7").Add(name, "tax rate", w.effectiveRates(rows)...)
}

// borderTax is the import tax on a base, tax by tax down the country's rounding
// ladder. (L7)
func (w *work) borderTax(s graph.Scope, base graph.ID) graph.ID {
	s = s.By("L7")
	amounts := make([]graph.ID, len(w.taxes))
	for i, r := range w.taxes {
		exact := s.Multiply("tax-"+string(r.Value.ID)+"-unrounded", r.Value.Name+" before rounding", w.taxed(s, i, base, amounts), w.taxRate(r))
		amounts[i] = w.levied(s, r, exact, r.Value.Rounding)
	}
	return s.Add("tax", "import tax", amounts...)
}

// taxed is what a tax falls on: the base of all, that with other taxes in it, or one
// of those before it.
func (w *work) taxed(s graph.Scope, tax int, base graph.ID, before []graph.ID) graph.ID {
	v, rows := w.taxes[tax].Value, w.taxes[:tax]
	if parent := taxIndex(rows, v.ShareOf); parent >= 0 {
		return before[parent]
	}
	if inner := contained(rows, v.BaseContains, before); len(inner) > 0 {
		return s.Add("base-of-"+string(v.ID), "base of "+v.Name, append([]graph.ID{base}, inner...)...)
	}
	return base
}

// levied rounds one tax and drops it where it is too small to be levied.
func (w *work) levied(s graph.Scope, r reference.Row[trade.TaxRow], exact graph.ID, steps []trade.Rounding) graph.ID {
	v, name := r.Value, "tax-"+string(r.Value.ID)
	if v.NotLevied == nil {
		return w.rounded(s, name, v.Name, exact, steps)
	}
	amount := w.rounded(s, name+"-rounded", v.Name, exact, steps)
	limit := w.taxScope(r).Shared("not-levied-up-to", "amount up to which "+v.Name+" is not levied", w.money, *v.NotLevied, "not_levied_up_to")
	// All of it falls away, not only what is below: Switzerland drops a tax of up to
	// CHF 5 whole (source `swiss-receipt-of-parcels`). The rounded amount is compared.
	return s.Choose(name, v.Name+" as levied", amount, graph.LessOrEqual, limit, s.Zero(w.money), amount)
}

// sellerTax is the tax a seller collects on goods, delivery and any duty charged
// on: rounded line by line, or once. (L7) EN 16931 wants one amount per rate on a
// document, a checkout taxes line by line, and the cents differ: so both ways are
// kept.
func (w *work) sellerTax(s graph.Scope, rows []reference.Row[trade.TaxRow], g goods, d delivery, duty graph.ID, inOne bool) graph.ID {
	s = s.By("L7")
	var parts []graph.ID
	for i, rate := range w.effectiveRates(rows) {
		ts := s.In("tax-" + string(rows[i].Value.ID))
		on := func(name, label string, amount graph.ID) {
			parts = append(parts, w.round(ts, name, label, ts.Multiply(name+"-unrounded", label+" before rounding", amount, rate)))
		}
		if inOne {
			on("all", rows[i].Value.Name, w.total(ts, "base", "goods, delivery and duty", g.sum, d.charged, duty))
			continue
		}
		for j, l := range w.consignment.Lines {
			on("line-"+l.Key, rows[i].Value.Name+" on "+l.Name, g.lines[j])
		}
		on("delivery", rows[i].Value.Name+" on delivery", d.charged)
		if duty != graph.None {
			on("duty", rows[i].Value.Name+" on duty charged on", duty)
		}
	}
	return w.total(s, "tax", "tax collected by the seller", parts...)
}
