package landed

import (
	"kerfbook/costing/graph"
	"kerfbook/costing/trade"
)

// taxByLine takes each kind of goods through base and taxes by itself and adds up
// before the last step of each tax, as Japan Customs does: source
// `japan-simplified-rates`. (L7)
func (w *work) taxByLine(s graph.Scope, r trade.Regime, o outcome, values, beside []graph.ID, d declaration) (base, tax graph.ID) {
	s = s.By("L7")
	var bases []graph.ID
	rest := w.total(s, "beside-value-and-duty", "charges, delivery and clearance in the base of tax", beside...)
	open := make([][]graph.ID, len(w.taxes))
	for i, l := range w.consignment.Lines {
		ls := s.In("line", l.Key)
		exact := ls.Add("tax-base-unrounded", "base of import tax on "+l.Name+" before rounding", values[i],
			w.lineDutyInBase(ls, r, o.duty, i, d), d.share(ls, "beside-value-and-duty", "charges, delivery and clearance, part of "+l.Name, i, rest))
		on := w.ladder(ls, "tax-base", "base of import tax on "+l.Name, exact, w.rule.Value.Ladder.Base)
		bases = append(bases, on)
		for j, amount := range w.lineTaxes(ls, on) {
			open[j] = append(open[j], amount)
		}
	}
	amounts := make([]graph.ID, len(w.taxes))
	for j, row := range w.taxes {
		_, last := lastStep(row.Value.Rounding)
		amounts[j] = w.levied(s, row, s.Add("tax-"+string(row.Value.ID)+"-unrounded", row.Value.Name+" before rounding", open[j]...), last)
	}
	return s.Add("tax-base", "base of import tax", bases...), s.Add("tax", "import tax", amounts...)
}

// lineDutyInBase is the duty of a line as it enters the base of tax: by the
// tariff, rounded as the sum is; otherwise a share of the duty on all.
func (w *work) lineDutyInBase(s graph.Scope, r trade.Regime, all graph.ID, line int, d declaration) graph.ID {
	label := "duty on " + w.consignment.Lines[line].Name + " in the base of tax"
	if r.Duty != trade.TariffDuty {
		return d.share(s, "duty-in-base", label, line, all)
	}
	return w.ladder(s, "duty-in-base", label, s.Known("duty"), w.rule.Value.Ladder.Duty)
}

// lineTaxes are the taxes of one line before their last step. A tax on or of
// another takes that rounded.
func (w *work) lineTaxes(s graph.Scope, base graph.ID) []graph.ID {
	open, closed := make([]graph.ID, len(w.taxes)), make([]graph.ID, len(w.taxes))
	for i, r := range w.taxes {
		v, name := r.Value, "tax-"+string(r.Value.ID)
		first, last := lastStep(v.Rounding)
		exact := s.Multiply(name+"-unrounded", v.Name+" before rounding", w.taxed(s, i, base, closed), w.taxRate(r))
		open[i] = w.ladder(s, name+"-before-last", v.Name+" before its last rounding", exact, first)
		closed[i] = w.ladder(s, name, v.Name, open[i], last)
	}
	return open
}

// lastStep divides rounding steps before the last.
func lastStep(steps []trade.Rounding) (first, last []trade.Rounding) {
	at := max(0, len(steps)-1)
	return steps[:at], steps[at:]
}
