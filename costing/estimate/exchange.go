package estimate

import (
	"kerfbook/costing/graph"
	"kerfbook/costing/money"
	"kerfbook/costing/rates"
	"kerfbook/costing/selling/exchange"
)

// toBook gives the buying rate from a currency into that of the book; None
// where they are the same. path is what asked for it.
func (s *shop) toBook(from money.Code, path string) (graph.ID, bool) {
	id, ok := exchange.Rates{Root: s.root, Card: s.card, Path: s.cardPath}.Rate(from, s.book.Currency, rates.ForBuying)
	if !ok {
		s.fail(path, "rate card %s has no buying or selling exchange rate from %s to %s; add one under exchange", s.card.ID, from, s.book.Currency)
	}
	return id, ok
}

// smallestCoin is the minor unit of a currency, as a fixed figure.
func (s *shop) smallestCoin(code money.Code) graph.ID {
	id := exchange.SmallestUnit(s.root, code)
	if id == graph.None {
		s.fail("currency", "%s is no currency of ISO 4217", code)
	}
	return id
}
