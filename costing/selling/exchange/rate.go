// Package exchange turns what is known of currencies into figures: the exchange
// rates of a rate card, smallest amounts, and rounding.
package exchange

import (
	"fmt"

	"kerfbook/costing/graph"
	"kerfbook/costing/money"
	"kerfbook/costing/rates"
	"kerfbook/costing/trade"
)

// Rates are the exchange rates of a rate card.
type Rates struct {
	Root graph.Scope // the rates stand in exchange/KIND below it
	Card rates.RateCard
	Path string     // place of the card in the book
	Book money.Code // currency of the book
}

// Rate gives an exchange rate of a kind: money of the one currency per money of
// the other, None where they are the same. A rate entered the other way round is
// inverted. All users of a rate share its figures. Where the card has no buying rate
// it is the selling rate, with a note. ok is false where the card has no such rate.
func (r Rates) Rate(from, to money.Code, kind rates.ExchangeKind) (id graph.ID, ok bool) {
	if from == to {
		return graph.None, true
	}
	at, inverse, ok := rates.FindExchange(r.Card, from, to, kind)
	if !ok {
		return graph.None, false
	}
	x := r.Card.Exchange[at]
	s := r.Root.In("exchange", string(x.Kind)).From(graph.Source{
		Where: "rate card " + string(r.Card.ID), Path: fmt.Sprintf("%s.exchange[%d]", r.Path, at), Cite: x.Source})
	if x.Kind != kind {
		s.Find(graph.Note, name(from, to), fmt.Sprintf("rate card %s has no %s rate from %s to %s, so the %s rate is used for what is bought; enter one under exchange", r.Card.ID, kind, from, to, x.Kind))
		kind = x.Kind
	}
	unit := graph.Currency(string(x.To)).Per(graph.Currency(string(x.From)))
	direct := s.Shared(name(x.From, x.To), label(kind, x.From, x.To), unit, x.Rate, "rate")
	if !inverse {
		return direct, true
	}
	return s.Divide(name(from, to), label(kind, from, to), s.One(graph.Plain), direct), true
}

// Convert gives an amount in another currency: the amount itself where there is only
// one or no rate, None for None.
func (r Rates) Convert(s graph.Scope, name, label string, amount graph.ID, from, to money.Code, kind rates.ExchangeKind) graph.ID {
	if amount == graph.None {
		return graph.None
	}
	rate, _ := r.Rate(from, to, kind)
	return graph.Or(s.Multiply(name, label, amount, rate), amount)
}

// Missing stands for a rate that the card does not have.
func (r Rates) Missing(from, to money.Code, kind rates.ExchangeKind) graph.ID {
	s := r.Root.In("exchange", string(kind)).From(graph.Source{Where: "rate card " + string(r.Card.ID), Path: r.Path + ".exchange"})
	return s.Once(name(from, to), func() graph.ID {
		return s.Missing(name(from, to), label(kind, from, to), graph.Currency(string(to)).Per(graph.Currency(string(from))),
			fmt.Sprintf("exchange rate from %s to %s on rate card %s", from, to, r.Card.ID))
	})
}

func name(from, to money.Code) string { return string(from) + "-" + string(to) }

func label(kind rates.ExchangeKind, from, to money.Code) string {
	return fmt.Sprintf("%s rate %s to %s", kind, from, to)
}

// SmallestUnit is the smallest amount of a currency, one figure for all users; None
// for a code that is not on the list.
func SmallestUnit(s graph.Scope, code money.Code) graph.ID {
	c, ok := money.Lookup(string(code))
	if !ok {
		return graph.None
	}
	return s.Fixed("minor-unit-"+c.Code, "smallest unit of "+c.Code, graph.Currency(c.Code), c.MinorUnit(), "ISO 4217")
}

// SmallestPrice is the smallest amount of a currency for the price of one piece.
func SmallestPrice(s graph.Scope, code money.Code) graph.ID {
	c, ok := money.Lookup(string(code))
	if !ok {
		return graph.None
	}
	return s.Fixed("minor-unit-"+c.Code+"-per-piece", "smallest unit of "+c.Code+" per piece", graph.Currency(c.Code).Per(graph.Piece), c.MinorUnit(), "ISO 4217")
}

// Round takes an amount to a multiple of a step, as a rounding rule says.
func Round(s graph.Scope, name, label string, x, step graph.ID, mode trade.RoundingMode) graph.ID {
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
