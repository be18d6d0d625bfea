package exchange

import (
	"kerfbook/costing/graph"
	"kerfbook/costing/money"
	"kerfbook/costing/trade"
)

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
