package landed

import (
	"fmt"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/money"
	"kerfbook/costing/rates"
	"kerfbook/costing/reference"
	"kerfbook/costing/selling/exchange"
	"kerfbook/costing/trade"
)

// work writes the figures of one consignment.
type work struct {
	*plan
	root    graph.Scope // without prefix: inputs that consignments share
	s       graph.Scope // destination/PLACE/CONSIGNMENT
	money   graph.Unit  // of the destination
	home    graph.Unit  // of the book
	minor   graph.ID    // smallest amount of the destination's currency
	flagged map[string]bool
}

func newWork(root graph.Scope, p *plan) *work {
	place := p.ctx.Destination.Place()
	w := &work{
		plan: p, root: root, s: root.In("destination", place, p.consignment.Key).From(graph.Source{
			Where: "destination " + place, Path: p.ctx.Path}).Of(p.consignment.Key + " to " + place),
		money: graph.Currency(string(p.to)), home: graph.Currency(string(p.ctx.Currency)),
		flagged: map[string]bool{},
	}
	w.minor = exchange.SmallestUnit(root, p.to, p.currency.MinorUnit())
	return w
}

// from gives the source of a row. A row that was not verified blocks a quote of
// whatever rests on it.
func (w *work) from(p reference.Provenance) graph.Source {
	if p.Unverified && !w.flagged[p.Where] {
		w.flagged[p.Where] = true
		remedy := "a confirmed row of your own under rules replaces it"
		if p.Path != "" {
			remedy = "write where it is from under cite"
		}
		looked := ""
		if p.CheckedOn != "" {
			looked = " (last looked at " + p.CheckedOn + ")"
		}
		w.s.Find(graph.Blocker, "", fmt.Sprintf("%s has no source%s and cannot be quoted without confirmation; %s", p.Where, looked, remedy))
	}
	return graph.Source{Where: p.Where, Path: p.Path, Cite: p.Cite, CheckedOn: p.CheckedOn, Unverified: p.Unverified}
}

// optional is a shared number for a field that may be absent; None then.
func optional(s graph.Scope, name, label string, unit graph.Unit, n *bom.Number, path string) graph.ID {
	if n == nil {
		return graph.None
	}
	return s.Shared(name, label, unit, *n, path)
}

// rate is the exchange rate between two currencies, None where they are one.
func (w *work) rate(from, to money.Code, kind rates.ExchangeKind) graph.ID {
	id, _ := exchange.Rate(w.root, w.ctx.Card, w.ctx.CardPath, from, to, kind)
	return id
}

// convert gives an amount in another currency; the amount itself where there is
// only one.
func (w *work) convert(s graph.Scope, name, label string, amount graph.ID, from, to money.Code, kind rates.ExchangeKind) graph.ID {
	if amount == graph.None {
		return graph.None
	}
	r := w.rate(from, to, kind)
	if r == graph.None {
		return amount
	}
	return s.Multiply(name, label, amount, r)
}

// ruleAmount writes an amount of the import rule, whose currency may differ from
// the destination's.
func (w *work) ruleAmount(s graph.Scope, name, label string, n bom.Number, currency money.Code, path string) graph.ID {
	if currency == "" {
		currency = w.to
	}
	entered := s.Shared(name, label, graph.Currency(string(currency)), n, path)
	if currency == w.to {
		return entered
	}
	local := fmt.Sprintf("%s-%s", name, w.to)
	if id := s.Lookup(s.Key(local)); id != graph.None {
		return id
	}
	return w.convert(s, local, label, entered, currency, w.to, rates.ForCustoms)
}

// round takes an amount to the smallest unit of the destination's currency.
func (w *work) round(s graph.Scope, name, label string, amount graph.ID) graph.ID {
	return s.Round(name, label, amount, w.minor)
}

// ladder takes an amount through the steps of a rounding rule; every step but
// the last has a key of its own. Without steps, an amount goes to the minor unit
// if it must be rounded, and stays as it is otherwise.
func (w *work) ladder(s graph.Scope, name, label string, amount graph.ID, steps []trade.Rounding) graph.ID {
	for i, st := range steps {
		key := name
		if i < len(steps)-1 {
			key = fmt.Sprintf("%s-step-%d", name, i+1)
		}
		step := s.Fixed("step-"+st.Step.Likely.String()+"-"+string(w.to), "rounding step", w.money, st.Step.Likely, "rounding rule of the place")
		amount = roundBy(s, key, label, amount, step, st.Mode)
	}
	return amount
}

func roundBy(s graph.Scope, name, label string, x, step graph.ID, mode trade.RoundingMode) graph.ID {
	switch mode {
	case trade.Down:
		return s.Floor(name, label, x, step)
	case trade.Up:
		return s.Ceiling(name, label, x, step)
	case trade.HalfEven:
		return s.RoundEven(name, label, x, step)
	default:
		return s.Round(name, label, x, step)
	}
}

// total is the sum under the name, even of one term; terms that do not exist are
// left out, and without any the total is nothing.
func (w *work) total(s graph.Scope, name, label string, terms ...graph.ID) graph.ID {
	given := make([]graph.ID, 0, len(terms))
	for _, t := range terms {
		if t != graph.None {
			given = append(given, t)
		}
	}
	if len(given) == 0 {
		given = append(given, s.Zero(w.money))
	}
	return s.Add(name, label, given...)
}

// keyPart makes an element of a key from words of a row.
func keyPart(words ...string) string {
	return strings.Map(func(r rune) rune {
		ok := r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '.' || r == '-'
		if ok {
			return r
		}
		return '_'
	}, strings.Join(words, "_"))
}
