// Package exchange turns what is known of currencies into figures: the exchange
// rates of a rate card, and smallest units.
package exchange

import (
	"fmt"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/money"
	"kerfbook/costing/rates"
)

// Rate gives an exchange rate of a kind: money of the one currency per money of
// the other, None where they are the same. A rate entered the other way round is
// inverted. All users of a rate share its figures, in the scope exchange/KIND
// below root. Where the card has no buying rate it is the selling rate, with a note.
// ok is false where the card has no such rate. path is the place of the card in the
// book.
func Rate(root graph.Scope, card rates.RateCard, path string, from, to money.Code, kind rates.ExchangeKind) (id graph.ID, ok bool) {
	if from == to {
		return graph.None, true
	}
	at, inverse, ok := rates.FindExchange(card, from, to, kind)
	if !ok {
		return graph.None, false
	}
	x := card.Exchange[at]
	s := root.In("exchange", string(x.Kind)).From(graph.Source{
		Where: "rate card " + string(card.ID), Path: fmt.Sprintf("%s.exchange[%d]", path, at), Cite: x.Source})
	if x.Kind != kind {
		s.Find(graph.Note, name(from, to), fmt.Sprintf("rate card %s has no %s rate from %s to %s, so the %s rate is used for what is bought; enter one under exchange", card.ID, kind, from, to, x.Kind))
		kind = x.Kind
	}
	unit := graph.Currency(string(x.To)).Per(graph.Currency(string(x.From)))
	direct := s.Shared(name(x.From, x.To), label(kind, x.From, x.To), unit, x.Rate, "rate")
	if !inverse {
		return direct, true
	}
	if id := s.Lookup(s.Key(name(from, to))); id != graph.None {
		return id, true
	}
	return s.Divide(name(from, to), label(kind, from, to), s.One(graph.Plain), direct), true
}

// SmallestUnit is the smallest amount of a currency, one figure for all users.
func SmallestUnit(s graph.Scope, code money.Code, unit decimal.Decimal) graph.ID {
	return s.Fixed("minor-unit-"+string(code), "smallest unit of "+string(code), graph.Currency(string(code)), unit, "ISO 4217")
}

func name(from, to money.Code) string { return string(from) + "-" + string(to) }

func label(kind rates.ExchangeKind, from, to money.Code) string {
	return fmt.Sprintf("%s rate %s to %s", kind, from, to)
}
