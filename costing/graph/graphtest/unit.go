package graphtest

import (
	"kerfbook/costing/graph"
)

// unitCases carry units through conversions and quotients. The factors are exact
// by definition.
func unitCases() []Case {
	return []Case{
		convertCase("hours-to-minutes", graph.Hour, "1.25", graph.Hour, graph.Minute, "75"),
		convertCase("minutes-to-hours", graph.Minute, "75", graph.Minute, graph.Hour, "1.25"),
		convertCase("inch", graph.Inch, "0.5", graph.Inch, graph.Mm, "12.7"),
		convertCase("pound", graph.Pound, "2", graph.Pound, graph.Gram, "907.18474"),
		convertCase("micron", graph.Micron, "12", graph.Micron, graph.Mm, "0.012"),
		convertCase("square-metres", graph.Metre.Power(2), "0.5", graph.Metre, graph.Mm, "500000"),
		convertCase("square-mm-to-dm", graph.Mm.Power(2), "12500", graph.Mm, graph.Dm, "1.25"),
		convertCase("cubic-cm", graph.Cm.Power(3), "7.85", graph.Cm, graph.Mm, "7850"),
		convertCase("density", graph.Gram.Per(graph.Cm.Power(3)), "7.85", graph.Cm, graph.Mm, "0.00785"),
		convertCase("hourly-rate", graph.Currency("EUR").Per(graph.Hour), "54", graph.Hour, graph.Minute, "0.9"),
		convertCase("per-kilogram", graph.Currency("EUR").Per(graph.Kilogram), "4.20", graph.Kilogram, graph.Gram, "0.0042"),
		partCost(),
		diagonal(),
	}
}

// convertCase converts x.
func convertCase(name string, unit graph.Unit, x string, from, to graph.Unit, want string) Case {
	return Case{Name: "convert/" + name, Want: []string{want}, Build: func(s graph.Scope) []graph.ID {
		return []graph.ID{s.Convert("out", "converted", amount(s, "x", unit, x), from, to)}
	}}
}

// partCost is 12 min a piece at 54 EUR/h: money per piece out of three units.
func partCost() Case {
	return Case{Name: "unit/part-cost", Want: []string{"10.8", "10.8"}, Build: func(s graph.Scope) []graph.ID {
		euro := graph.Currency("EUR")
		minutes := amount(s, "run-time", graph.Minute.Per(graph.Piece), "12")
		hours := s.Convert("run-hours", "run time", minutes, graph.Minute, graph.Hour)
		rate := amount(s, "rate", euro.Per(graph.Hour), "54")
		cost := s.Multiply("cost", "run cost", hours, rate)
		limit := amount(s, "limit", euro.Per(graph.Piece), "20")
		return []graph.ID{cost, s.Minimum("least", "cost at most", cost, limit)}
	}}
}

// diagonal takes the root of an area.
func diagonal() Case {
	return Case{Name: "unit/diagonal", Want: []string{"5"}, Build: func(s graph.Scope) []graph.ID {
		a, b := amount(s, "a", graph.Mm, "3"), amount(s, "b", graph.Mm, "4")
		square := s.SumProducts("square", "square of the diagonal", a, a, b, b)
		d := s.SquareRoot("diagonal", "diagonal", square)
		return []graph.ID{s.Maximum("out", "longest", d, a, b)}
	}}
}
