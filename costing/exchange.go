package costing

import (
	"fmt"

	"kerfbook/costing/graph"
	"kerfbook/costing/money"
	"kerfbook/costing/rates"
)

// toBook gives the selling rate from a currency into that of the book; None
// where they are the same. path is what asked for it.
func (s *shop) toBook(from rates.Currency, path string) (graph.ID, bool) {
	return s.rate(from, s.book.Currency, rates.ForSelling, path)
}

// rate gives an exchange rate of a kind as a figure: money of the one currency
// per money of the other. A rate given the other way round is inverted.
func (s *shop) rate(from, to rates.Currency, kind rates.ExchangeKind, path string) (graph.ID, bool) {
	if from == to {
		return graph.None, true
	}
	name := fmt.Sprintf("%s/%s-%s", kind, from, to)
	if id, ok := s.exchange[name]; ok {
		return id, true
	}
	id := s.findRate(from, to, kind)
	if id == graph.None {
		s.fail(path, "rate card %s has no %s exchange rate from %s to %s; add one under exchange", s.card.ID, kind, from, to)
		return id, false
	}
	s.exchange[name] = id
	return id, true
}

func (s *shop) findRate(from, to rates.Currency, kind rates.ExchangeKind) graph.ID {
	for i, x := range s.card.Exchange {
		if x.Kind != kind {
			continue
		}
		if x.From == from && x.To == to {
			return s.exchangeNode(i, x)
		}
		if x.From == to && x.To == from {
			direct := s.exchangeNode(i, x)
			sc := s.root.In("exchange", string(kind))
			return sc.Divide(fmt.Sprintf("%s-%s", from, to), fmt.Sprintf("%s rate %s to %s", kind, from, to), sc.One(graph.Plain), direct)
		}
	}
	return graph.None
}

// exchangeNode writes a rate as entered; both directions may ask for it.
func (s *shop) exchangeNode(i int, x rates.Exchange) graph.ID {
	sc := s.root.In("exchange", string(x.Kind)).From(graph.Source{
		Where: "rate card " + string(s.card.ID), Path: s.cardPath + "." + index("exchange", i), Cite: x.Source})
	name := fmt.Sprintf("%s-%s", x.From, x.To)
	if id := sc.Lookup(sc.Key(name)); id != graph.None {
		return id
	}
	unit := graph.Currency(string(x.To)).Per(graph.Currency(string(x.From)))
	return sc.Number(name, fmt.Sprintf("%s rate %s to %s", x.Kind, x.From, x.To), unit, x.Rate, "rate")
}

// smallestCoin is the minor unit of a currency, as a fixed figure.
func (s *shop) smallestCoin(code rates.Currency) graph.ID {
	c, ok := money.Lookup(string(code))
	if !ok {
		s.fail("currency", "%s is no currency of ISO 4217", code)
		return graph.None
	}
	return s.root.Fixed("minor-unit-"+string(code), "smallest unit of "+string(code), graph.Currency(string(code)), c.MinorUnit(), "ISO 4217")
}
