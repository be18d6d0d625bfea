package landed

import (
	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/selling/exchange"
	"kerfbook/costing/trade"
)

// measures gives the amount a threshold looks at, rounded to the minor unit, for
// the regime with the number.
type measures func(t *trade.Threshold, number int) graph.ID

// choose writes the index, from 1, of the first regime whose threshold holds; the
// last has none. (L6) Written from the last to the first, each the fallback of the
// one before, so that the first to hold wins; a choice by price stays a figure,
// since the price may vary. What is declared is known before the batch is made.
func (w *work) choose(s graph.Scope, m measures) graph.ID {
	last := len(w.regimes) - 1
	chosen := index(s, last+1)
	for i := last - 1; i >= 0; i-- {
		r := w.regimes[i]
		limit := w.limit(r)
		// Laws differ in "up to" and "below": the EU's 150 is included, Norway's 3,000 is not
		// (sources `eu-relief-abolished`, `norwegian-voec`).
		comparison := graph.Less
		if r.Up.Closed {
			comparison = graph.LessOrEqual
		}
		name := "regime-from-" + string(r.ID)
		if i == 0 {
			name = "regime"
		}
		measure := m(r.Up, i)
		chosen = s.By("L6").Choose(name, "regime: "+r.Name+", or a later one", measure, comparison, limit, index(s, i+1), chosen)
	}
	if last == 0 {
		return s.Add("regime", "regime: "+w.regimes[0].Name, chosen)
	}
	var names []string
	for _, r := range w.regimes {
		names = append(names, r.Name)
	}
	return s.Settle(chosen, graph.Settled{Options: names})
}

// index is the fixed number of a regime.
func index(s graph.Scope, n int) graph.ID {
	if n == 1 {
		return s.One(graph.Plain)
	}
	d := decimal.New(int64(n), 0)
	return s.Fixed("number-"+d.String(), "number "+d.String(), graph.Plain, d, "order of the regimes")
}

// limit is the threshold of a regime, per piece where it looks at items.
func (w *work) limit(r trade.Regime) graph.ID {
	s := w.ruleScope().In(string(r.ID))
	amount := w.ruleAmount(s, "limit", "limit of "+r.Name, r.Up.Limit, w.rule.Value.Currency, "")
	if r.Up.Basis != trade.PerItem {
		return amount
	}
	return s.Divide("limit-per-piece-"+string(w.to), "limit of "+r.Name+" per piece", amount, s.One(graph.Piece))
}

// perPiece gives the highest value of one piece among the lines, rounded. The
// highest decides, since one item over the limit puts all of the consignment
// outside.
func (w *work) perPiece(s graph.Scope, name, label string, lines []graph.ID) graph.ID {
	step := exchange.SmallestPrice(w.root, w.to)
	var each []graph.ID
	for i, l := range w.consignment.Lines {
		ls := s.In("line", l.Key)
		exact := ls.Divide(name+"-unrounded", label+" of one "+l.Name+" before rounding", lines[i], l.Quantity)
		each = append(each, ls.Round(name, label+" of one "+l.Name, exact, step))
	}
	return s.Maximum("highest-"+name, "highest "+label+" of one piece", each...)
}

// measuresBuyerClears looks at the goods as declared and their customs values.
func (w *work) measuresBuyerClears(in declaration, values []graph.ID, f *Figures) measures {
	return func(t *trade.Threshold, _ int) graph.ID {
		switch {
		case t.Measure == trade.CustomsValue && t.Basis == trade.PerItem:
			return w.perPiece(w.s, "item-customs-value", "customs value", values)
		case t.Measure == trade.CustomsValue:
			return w.round(w.s, "customs-value-compared", "customs value as compared with limits", f.CustomsValue)
		case t.Basis == trade.PerItem:
			return w.perPiece(w.s, "item-intrinsic-value", "intrinsic value", in.lines)
		default:
			return f.IntrinsicValue
		}
	}
}

// pick gives the figure of the regime chosen.
func (w *work) pick(s graph.Scope, name, label string, regime graph.ID, of []graph.ID) graph.ID {
	if len(of) == 1 {
		return s.Add(name, label, of[0])
	}
	return s.At(name, label, regime, of...)
}

// picked is the outcome of the regime chosen.
func (w *work) picked(s graph.Scope, regime graph.ID, of []outcome) outcome {
	get := func(name, label string, figure func(outcome) graph.ID) graph.ID {
		ids := make([]graph.ID, len(of))
		for i, o := range of {
			ids[i] = figure(o)
		}
		return w.pick(s, name, label, regime, ids)
	}
	return outcome{
		value:     graph.None,
		duty:      get("duty", "duty", func(o outcome) graph.ID { return o.duty }),
		charges:   get("charges", "import charges beside duty and tax", func(o outcome) graph.ID { return o.charges }),
		base:      get("tax-base", "base of import tax", func(o outcome) graph.ID { return o.base }),
		tax:       get("tax", "tax", func(o outcome) graph.ID { return o.tax }),
		clearance: get("clearance", "fee for clearance", func(o outcome) graph.ID { return o.clearance }),
		atSeller:  get("due-to-seller", "duty and tax collected by the seller", func(o outcome) graph.ID { return o.atSeller }),
		atDoor:    get("due-at-door", "due at the door", func(o outcome) graph.ID { return o.atDoor }),
	}
}
