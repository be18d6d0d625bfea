package landed

import (
	"kerfbook/costing/graph"
	"kerfbook/costing/money"

	"kerfbook/costing/selling/exchange"

	"github.com/shopspring/decimal"
)

// minorPerPiece is the smallest amount of a currency for a price of one piece.
func minorPerPiece(s graph.Scope, code money.Code, unit decimal.Decimal) graph.ID {
	return s.Fixed("minor-unit-"+string(code)+"-per-piece", "smallest unit of "+string(code)+" per piece",
		graph.Currency(string(code)).Per(graph.Piece), unit, "ISO 4217")
}

// insuredShare is the part of cost, freight and premium that is insured where a
// carrier says nothing else: 110 %.
func insuredShare(s graph.Scope) graph.ID {
	return s.Fixed("insured-share", "insured share of the value", graph.Plain, decimal.New(11, -1),
		"cover of 110 % of the CIF value, as Incoterms 2020 CIP asks")
}

// whole is a count that follows from the definitions, such as a number of item
// classes.
func whole(s graph.Scope, name, label string, n int) graph.ID {
	return s.Input(name, label, graph.Plain, decimal.New(int64(n), 0))
}

// index is the fixed number of a regime.
func index(s graph.Scope, n int) graph.ID {
	if n == 1 {
		return s.One(graph.Plain)
	}
	d := decimal.New(int64(n), 0)
	return s.Fixed("number-"+d.String(), "number "+d.String(), graph.Plain, d, "order of the regimes")
}

// minorOf is the smallest amount of any currency of the list.
func (w *work) minorOf(code money.Code) graph.ID {
	c, _ := money.Lookup(string(code))
	return exchange.SmallestUnit(w.root, code, c.MinorUnit())
}
