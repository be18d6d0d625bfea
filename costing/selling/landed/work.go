package landed

import (
	"cmp"
	"fmt"
	"strings"

	"github.com/shopspring/decimal"

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
	rates   exchange.Rates
}

func newWork(root graph.Scope, p *plan) *work {
	place := p.ctx.Destination.Place()
	return &work{
		plan: p, root: root, s: root.In("destination", place, p.consignment.Key).From(graph.Source{
			Where: "destination " + place, Path: p.ctx.Path}).Of(p.consignment.Key + " to " + place),
		money: graph.Currency(string(p.to)), home: graph.Currency(string(p.ctx.Currency)),
		minor: exchange.SmallestUnit(root, p.to), flagged: map[string]bool{},
		rates: exchange.Rates{Root: root, Card: p.ctx.Card, Path: p.ctx.CardPath, Book: p.ctx.Currency},
	}
}

// place is where the figures of the destination stand that its consignments share.
func (w *work) place() graph.Scope {
	place := w.ctx.Destination.Place()
	return w.root.In("destination", place).From(graph.Source{Where: "destination " + place, Path: w.ctx.Path})
}

// from gives the source of a row. A row that was not verified blocks a quote of
// whatever rests on it.
func (w *work) from(p reference.Provenance) graph.Source {
	if p.Unverified && !w.flagged[p.Where] {
		// Once a row: it may stand behind dozens of figures.
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

// toLocal brings an amount from the currency of the book into that of the
// destination, at the selling rate.
func (w *work) toLocal(s graph.Scope, name, label string, amount graph.ID) graph.ID {
	return w.rates.Convert(s, name, label, amount, w.ctx.Currency, w.to, rates.ForSelling)
}

// sellingRate is the rate of prices in the destination's currency; None where that
// is the book's.
func (w *work) sellingRate() graph.ID {
	id, _ := w.rates.Rate(w.ctx.Currency, w.to, rates.ForSelling)
	return id
}

// customsRate is the rate at which customs looks at amounts in the currency of the
// book; None where that is the destination's.
func (w *work) customsRate() graph.ID {
	id, _ := w.rates.Rate(w.ctx.Currency, w.to, rates.ForCustoms)
	return id
}

// entered writes an amount of a row, or what it is per something else, and gives it
// in the currency of the destination. An amount without a currency is in that.
func (w *work) entered(s graph.Scope, name, label string, per graph.Unit, n bom.Number, currency money.Code, kind rates.ExchangeKind, path string) graph.ID {
	currency = cmp.Or(currency, w.to)
	amount := s.Shared(name, label, graph.Currency(string(currency)).Per(per), n, path)
	local := fmt.Sprintf("%s-%s", name, w.to)
	return w.rates.Convert(s, local, label, amount, currency, w.to, kind)
}

// ruleAmount is an amount of an import rule, a duty or a charge, which customs
// converts.
func (w *work) ruleAmount(s graph.Scope, name, label string, n bom.Number, currency money.Code, path string) graph.ID {
	return w.entered(s, name, label, graph.Plain, n, currency, rates.ForCustoms, path)
}

// round takes an amount to the smallest unit of the destination's currency.
func (w *work) round(s graph.Scope, name, label string, amount graph.ID) graph.ID {
	return s.Round(name, label, amount, w.minor)
}

// rounded takes an amount through the steps of a rounding rule, to the smallest
// unit where there are none.
func (w *work) rounded(s graph.Scope, name, label string, amount graph.ID, steps []trade.Rounding) graph.ID {
	if len(steps) == 0 {
		return w.round(s, name, label, amount)
	}
	return w.ladder(s, name, label, amount, steps)
}

// ladder takes an amount through the steps of a rounding rule; every step but the
// last has a key of its own. Without steps it stays as it is.
func (w *work) ladder(s graph.Scope, name, label string, amount graph.ID, steps []trade.Rounding) graph.ID {
	for i, st := range steps {
		key := name
		if i < len(steps)-1 {
			key = fmt.Sprintf("%s-step-%d", name, i+1)
		}
		step := s.Fixed("step-"+st.Step.Likely.String()+"-"+string(w.to), "rounding step", w.money, st.Step.Likely, "rounding rule of the place")
		amount = exchange.Round(s, key, label, amount, step, st.Mode)
	}
	return amount
}

// total is the sum under the name, even of one term; nothing without any.
func (w *work) total(s graph.Scope, name, label string, terms ...graph.ID) graph.ID {
	if sum := s.Sum(name, label, terms...); sum != graph.None {
		return sum
	}
	return s.Add(name, label, s.Zero(w.money))
}

// dated puts the day from which a row holds into the keys of its figures. Two rates
// of one tax, before and after a change, are two inputs and may meet in one
// comparison.
func dated(s graph.Scope, from bom.Date) graph.Scope {
	if from == "" {
		return s
	}
	return s.In(string(from))
}

// whole is a count that follows from the definitions, such as a number of item
// classes.
func whole(s graph.Scope, name, label string, n int) graph.ID {
	return s.Input(name, label, graph.Plain, decimal.New(int64(n), 0))
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
