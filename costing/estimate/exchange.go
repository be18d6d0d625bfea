package estimate

import (
	"kerfbook/costing/graph"
	"kerfbook/costing/money"
	"kerfbook/costing/rates"
	"kerfbook/costing/selling/exchange"
)

// toBook gives the buying rate from a currency into that of the book; None
// where they are the same.
func (s *shop) toBook(from money.Code) graph.ID {
	card := exchange.Rates{Root: s.root, Card: s.card, Path: s.cardPath}
	id, ok := card.Rate(from, s.book.Currency, rates.ForBuying)
	if !ok {
		id = card.Missing(from, s.book.Currency, rates.ForBuying)
	}
	return id
}

// smallestCoin is the minor unit of a currency, as a fixed figure.
func (s *shop) smallestCoin(code money.Code) graph.ID {
	id := exchange.SmallestUnit(s.root, code)
	if id == graph.None {
		s.fail("currency", "%s is no currency of ISO 4217", code)
	}
	return id
}
