package landed

import (
	"fmt"

	"kerfbook/costing/graph"
	"kerfbook/costing/trade"
)

// withoutDuty takes the duty by the tariff out of goods with their duty: the
// customs value of all lines, which share in it as they do in the goods. (L5) A
// flat duty by classes has been taken out before; no duty leaves the value as it
// is.
func (w *work) withoutDuty(s graph.Scope, r trade.Regime, goods graph.ID, cost declaration, g goods) graph.ID {
	label := "customs value implied by the price"
	if r.Duty != trade.TariffDuty {
		return s.Add("implied-value", label, goods)
	}
	// The ladder's roundings are left out, since they have no inverse; the duty is then
	// worked out forwards from this value, with them.
	terms := w.allTerms(g)
	mixed := mixedTerms(terms)
	if len(mixed) == 0 {
		return w.solve(s, "implied-value", label, goods, cost, terms)
	}
	// The sum of greater-of duties is the greatest sum over all ways to pick
	// their parts, so the value is the least solution; the other way round for
	// smaller-of duties.
	var solutions []graph.ID
	for way := range 1 << len(mixed) {
		name := fmt.Sprintf("implied-value-case-%d", way+1)
		solutions = append(solutions, w.solve(s, name, fmt.Sprintf("%s, case %d", label, way+1), goods, cost, pickParts(terms, mixed, way)))
	}
	if terms[mixed[0].line][mixed[0].term].combine == trade.TheGreater {
		return s.Minimum("implied-value", label, solutions...)
	}
	return s.Maximum("implied-value", label, solutions...)
}

// allTerms are the duties of every line.
func (w *work) allTerms(g goods) [][]dutyTerms {
	out := make([][]dutyTerms, len(w.tariff))
	for i, rows := range w.tariff {
		for _, r := range rows {
			out[i] = append(out[i], w.terms(i, r, g.pieces[i]))
		}
	}
	return out
}

// termAt is the place of a duty among those of all lines.
type termAt struct{ line, term int }

// mixedTerms finds the duties that are the greater or smaller of two amounts.
func mixedTerms(terms [][]dutyTerms) []termAt {
	var out []termAt
	for i, line := range terms {
		for j, t := range line {
			if t.combine == trade.TheGreater || t.combine == trade.TheSmaller {
				out = append(out, termAt{i, j})
			}
		}
	}
	return out
}

// pickParts keeps one part of each mixed duty: by value where the bit of the way
// is 0, by quantity where it is 1.
func pickParts(terms [][]dutyTerms, mixed []termAt, way int) [][]dutyTerms {
	out := make([][]dutyTerms, len(terms))
	for i := range terms {
		out[i] = append([]dutyTerms(nil), terms[i]...)
	}
	for bit, at := range mixed {
		t := &out[at.line][at.term]
		if way>>bit&1 == 0 {
			t.fixed = graph.None
		} else {
			t.share = graph.None
		}
	}
	return out
}

// solve gives the customs value V of V + Σ shares × V + Σ fixed = goods with
// duty.
func (w *work) solve(s graph.Scope, name, label string, goods graph.ID, cost declaration, terms [][]dutyTerms) graph.ID {
	factor, fixed := []graph.ID{s.One(graph.Plain)}, []graph.ID(nil)
	for i, line := range terms {
		ls := s.In("line", w.consignment.Lines[i].Key, name)
		shares, amounts := linear(ls, line)
		for j, share := range shares {
			factor = append(factor, cost.share(ls, fmt.Sprintf("rate-%d", j+1), "rate of duty on the whole customs value", i, share))
		}
		fixed = append(fixed, amounts...)
	}
	sum := s.Total(name+"-fixed-duty", "duty by quantity", fixed...)
	goods = graph.Or(s.Subtract(name+"-with-duty-by-value", "price without tax, less duty by quantity", goods, sum), goods)
	return s.Divide(name, label, goods, s.Add(name+"-duty-factor", "1 + duty by value", factor...))
}

// linear gives the duties of one line as shares of its value and amounts; a
// share of the base duty becomes a share of what the base duty consists of.
func linear(s graph.Scope, line []dutyTerms) (shares, amounts []graph.ID) {
	base := line[0]
	for _, t := range line {
		if t.share != graph.None {
			shares = append(shares, t.share)
		}
		if t.fixed != graph.None {
			amounts = append(amounts, t.fixed)
		}
		if t.ofBase != graph.None && base.share != graph.None {
			shares = append(shares, s.Multiply("rate-of-"+t.name, "rate of "+t.label, t.ofBase, base.share))
		}
		if t.ofBase != graph.None && base.fixed != graph.None {
			amounts = append(amounts, s.Multiply("amount-of-"+t.name, "amount of "+t.label, t.ofBase, base.fixed))
		}
	}
	return shares, amounts
}
