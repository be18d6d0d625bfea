package landed

import (
	"fmt"
	"hash/fnv"
	"strings"

	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
	"kerfbook/costing/reference"
	"kerfbook/costing/trade"
)

// tariffDuty is the duty on customs values by the tariff, summed over lines and
// rounded once. (L6) A ladder may cut the value before the rate is applied, as
// Japan does to 1,000 yen (source `japan-simplified-rates`); elsewhere it has no
// steps and changes nothing.
func (w *work) tariffDuty(s graph.Scope, values []graph.ID, g goods) graph.ID {
	s = s.By("L6")
	var lines []graph.ID
	for i, l := range w.consignment.Lines {
		ls := s.In("line", l.Key)
		value := w.ladder(ls, "dutiable-value", "customs value of "+l.Name+" as rounded for duty", values[i], w.rule.Value.Ladder.CustomsValue)
		lines = append(lines, w.lineDuty(ls, i, value, g.pieces[i]))
	}
	exact := w.total(s, "duty-unrounded", "duty by the tariff before rounding", lines...)
	return w.rounded(s, "tariff-duty", "duty by the tariff", exact, w.rule.Value.Ladder.Duty)
}

// lineDuty adds the base duty of a line and its layers.
func (w *work) lineDuty(s graph.Scope, line int, value, pieces graph.ID) graph.ID {
	var all []graph.ID
	base := graph.None
	for _, r := range w.tariff[line] {
		t := w.terms(line, r, pieces)
		amount := t.amount(s, value, base)
		all = append(all, amount)
		// The first row is the base duty, which layers may be a share of.
		if base == graph.None {
			base = amount
		}
	}
	return s.Add("duty", "duty on "+w.consignment.Lines[line].Name, all...)
}

// dutyTerms are the parts of one duty on one line as figures; None where it has
// no such part.
type dutyTerms struct {
	name, label string
	combine     trade.Combining
	share       graph.ID // of the customs value
	fixed       graph.ID // by quantity, mass and content, money
	ofBase      graph.ID // share of the base duty
}

// terms writes the rates of a duty and what it comes to by quantity.
func (w *work) terms(line int, r reference.Row[trade.TariffRow], pieces graph.ID) dutyTerms {
	d, name := r.Value.Duty, "duty-base"
	label := "duty on " + w.consignment.Lines[line].Name
	if r.Value.Layer != "" {
		name, label = "duty-"+string(r.Value.Layer), label+", layer "+string(r.Value.Layer)
	}
	in := w.tariffScope(r)
	t := dutyTerms{name: name, label: label, combine: d.Combine,
		share:  in.Optional("by-value", "rate of "+label, graph.Plain, d.Share, "duty.by_value"),
		ofBase: in.Optional("of-base-duty", "share of the base duty", graph.Plain, d.ShareOfBase, "duty.share_of_base_duty"),
		fixed:  w.fixedDuty(in, line, d, name, pieces)}
	if n := in.Optional("share-of-value", "share of the value that bears the duty", graph.Plain, d.ValueShare, "duty.share_of_value"); n != graph.None {
		// Only a part of the value may bear it, as its metal under some duties on metals.
		t.share = in.Multiply("by-value-of-all", "rate on the whole value", t.share, n)
	}
	return t
}

// tariffScope is where the figures of a tariff row stand.
func (w *work) tariffScope(r reference.Row[trade.TariffRow]) graph.Scope {
	v := r.Value
	key := keyPart(v.Codes...)
	// A row of dozens of codes would have a key nobody can read; the sum keeps two rows
	// apart that begin alike.
	if len(key) > 60 {
		sum := fnv.New32a()
		sum.Write([]byte(key))
		key = fmt.Sprintf("%s.%08x", key[:40], sum.Sum32())
	}
	s := w.root.In("tariff", keyPart(v.Territory), key).From(w.from(r.Provenance))
	var origins []string
	for _, o := range v.Origin {
		origins = append(origins, string(o))
	}
	for _, part := range []string{string(v.Layer), v.Preference, strings.Join(origins, "-"), string(v.From)} {
		if part != "" {
			s = s.In(keyPart(part))
		}
	}
	return s
}

// fixedDuty is the part of a duty that depends on pieces and mass only, None
// without.
func (w *work) fixedDuty(in graph.Scope, line int, d trade.Duty, name string, pieces graph.ID) graph.ID {
	s := w.s.By("L6").In("line", w.consignment.Lines[line].Key)
	var parts []graph.ID
	if d.PerPiece != nil {
		each := w.ruleAmount(in, "per-piece", "duty per piece", *d.PerPiece, d.Currency, "duty.per_piece")
		parts = append(parts, s.Multiply(name+"-per-piece", "duty by pieces", each, pieces))
	}
	if d.PerKg != nil {
		each := w.entered(in, "per-kg", "duty per kg", graph.Kilogram, *d.PerKg, d.Currency, rates.ForCustoms, "duty.per_kg")
		parts = append(parts, s.Multiply(name+"-per-kg", "duty by mass", each, w.lineMass(s, line, pieces)))
	}
	for i, c := range d.Contents {
		at := fmt.Sprintf("duty.contents[%d]", i)
		cs := in.Within(at).In(keyPart(c.Name))
		each := w.entered(cs, "per-kg", "duty per kg of "+c.Name, graph.Kilogram, c.PerKg, d.Currency, rates.ForCustoms, "per_kg")
		share := cs.Shared("share-of-mass", "share of "+c.Name+" in the mass", graph.Plain, c.Share, "share_of_mass")
		parts = append(parts, s.Multiply(name+"-"+keyPart(c.Name), "duty on "+c.Name, each, share, w.lineMass(s, line, pieces)))
	}
	if len(parts) == 0 {
		return graph.None
	}
	return s.Add(name+"-by-quantity", "duty by quantity", parts...)
}

// amount is the duty on a customs value, given the base duty.
func (t dutyTerms) amount(s graph.Scope, value, base graph.ID) graph.ID {
	byValue := s.Multiply(t.name+"-by-value", t.label+" by value", value, t.share)
	if t.ofBase != graph.None && base != graph.None {
		byValue = s.Multiply(t.name+"-of-base", t.label+", share of the base duty", base, t.ofBase)
	}
	switch {
	case byValue == graph.None && t.fixed == graph.None:
		// A duty with no amount is a free one that is stated: 0, and not missing.
		return s.Multiply(t.name, t.label, value, s.Zero(graph.Plain))
	case byValue == graph.None:
		return t.fixed
	case t.fixed == graph.None:
		return byValue
	case t.combine == trade.TheGreater:
		return s.Maximum(t.name, t.label, byValue, t.fixed)
	case t.combine == trade.TheSmaller:
		return s.Minimum(t.name, t.label, byValue, t.fixed)
	default:
		return s.Add(t.name, t.label, byValue, t.fixed)
	}
}

// lineMass is the mass of all pieces of a line in kg.
func (w *work) lineMass(s graph.Scope, line int, pieces graph.ID) graph.ID {
	one := s.Convert("mass-of-one", "mass of one piece", w.consignment.Lines[line].Parcel.MassG, graph.Gram, graph.Kilogram)
	return s.Multiply("mass", "mass of all pieces", one, pieces)
}

// itemClasses counts the distinct six-digit classes of the consignment. Several
// pieces or products of one class bear the flat duty of the EU once: source
// `lithuanian-flat-duty`.
func (w *work) itemClasses() graph.ID {
	return w.s.Once("item-classes", func() graph.ID {
		seen := map[string]bool{}
		for _, l := range w.consignment.Lines {
			seen[trade.Goods{HSCode: l.HSCode}.SixDigits()] = true
		}
		return whole(w.s, "item-classes", "distinct six-digit classes", len(seen))
	})
}

// regimeDuty is the duty of a regime on customs values. (L6)
func (w *work) regimeDuty(s graph.Scope, r trade.Regime, values []graph.ID, g goods) graph.ID {
	s = s.By("L6")
	switch r.Duty {
	case trade.FlatPerClass:
		return w.round(s, "duty", "duty by item classes", s.Multiply("duty-unrounded", "duty by item classes before rounding", w.flat(r), w.itemClasses()))
	case trade.TariffDuty:
		return s.Add("duty", "duty by the tariff", w.tariffDuty(s, values, g))
	default:
		return s.Add("duty", "no duty", s.Zero(w.money))
	}
}

// flat is the duty per item class.
func (w *work) flat(r trade.Regime) graph.ID {
	return w.ruleAmount(w.ruleScope().In(string(r.ID)), "flat-per-class", "duty per item class", *r.Flat, w.rule.Value.Currency, "")
}

// ruleScope is where the figures of the import rule stand.
func (w *work) ruleScope() graph.Scope {
	v := w.rule.Value
	return dated(w.root.In("import-rule", keyPart(v.Place), string(v.ID)).From(w.from(w.rule.Provenance)), v.From)
}
