package landed

import (
	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

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
