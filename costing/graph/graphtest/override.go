package graphtest

import (
	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// overrideCases put a number in the place of a product, of a figure that has no
// value, and a range in the place of a sum; the computed figure stays.
func overrideCases() []Case {
	minutes := graph.Minute.String()
	number := func(text string) bom.Number { return bom.Exactly(decimal.RequireFromString(text)) }
	entered := func(n bom.Number, unit string) graph.Override {
		return graph.Override{Number: n, Unit: unit, Reason: "timed at the machine", Since: "2026-05-04", Path: "overrides[0].value"}
	}
	r := number("5")
	r.Low, r.High, r.IsRange = decimal.New(4, 0), decimal.New(9, 0), true
	return []Case{
		{Name: "override/product", Want: []string{"7.25", "6", "14.5"},
			Overrides: map[string]graph.Override{"time": entered(number("7.25"), minutes)},
			Build: func(s graph.Scope) []graph.ID {
				two := s.Input("two", "two", graph.Plain, decimal.New(2, 0))
				time := s.Multiply("time", "time", two, s.Input("each", "each", graph.Minute, decimal.New(3, 0)))
				return []graph.ID{time, s.Lookup(s.Key("time/computed")), s.Multiply("both", "both", time, two)}
			}},
		{Name: "override/undefined", Want: []string{"4", Undefined, "5"},
			Overrides: map[string]graph.Override{"ratio": entered(number("4"), "")},
			Build: func(s graph.Scope) []graph.ID {
				a := numbers(s, "1", "0")
				ratio := s.Divide("ratio", "ratio", a[0], a[1])
				return []graph.ID{ratio, s.Lookup(s.Key("ratio/computed")), s.Add("more", "more", ratio, a[0])}
			}},
		{Name: "override/range", Want: []string{"5", "3", "6"},
			Overrides: map[string]graph.Override{"sum": entered(r, "")},
			Build: func(s graph.Scope) []graph.ID {
				a := numbers(s, "1", "2")
				sum := s.Add("sum", "sum", a...)
				return []graph.ID{sum, s.Lookup(s.Key("sum/computed")), s.Add("more", "more", sum, a[0])}
			}},
	}
}
