package graphtest

import (
	"fmt"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// chooseCases walk every comparison with a below, equal to (also after snapping)
// and above b, as a choice and as a check.
func chooseCases() []Case {
	pairs := []struct {
		name, a, b string
		sign       int
	}{
		{"below", "1", "2", -1},
		{"above", "-1", "-2", 1},
		{"equal", "2.50", "2.5", 0},
		{"equal-by-snap", "2.0000000004", "2.0000000001", 0},
		{"above-by-a-unit", "2.000000001", "2", 1},
		{"snapped-apart", "2.0000000006", "2.0000000004", 1},
	}
	holds := map[graph.Comparison][3]bool{ // a below, equal to, above b
		graph.Less:           {true, false, false},
		graph.LessOrEqual:    {true, true, false},
		graph.Equal:          {false, true, false},
		graph.GreaterOrEqual: {false, true, true},
		graph.Greater:        {false, false, true},
		graph.NotEqual:       {true, false, true},
	}
	var out []Case
	for c := graph.Less; c <= graph.NotEqual; c++ {
		for _, p := range pairs {
			want := []string{"20", "0"}
			if holds[c][p.sign+1] {
				want = []string{"10", "1"}
			}
			out = append(out, compareCase(strings.ReplaceAll(c.Words(), " ", "-")+"/"+p.name, c, p.a, p.b, want))
		}
	}
	tie := compareCase("equal-by-tie", graph.Equal, "2.0000000005", "2.000000001", []string{"10", "1"})
	negative := compareCase("equal-by-negative-tie", graph.Equal, "-2.0000000005", "-2.000000001", []string{"10", "1"})
	tie.Precise, negative.Precise = true, true
	return append(out, tie, negative, compareCase("undefined-left", graph.Less, Undefined, "1", []string{Undefined, Undefined}),
		compareCase("undefined-right", graph.Less, "1", Undefined, []string{Undefined, Undefined}))
}

func compareCase(name string, c graph.Comparison, a, b string, want []string) Case {
	return Case{Name: "compare/" + name, Want: want, Build: func(s graph.Scope) []graph.ID {
		n := numbers(s, a, b, "10", "20")
		return []graph.ID{
			s.Choose("choice", "chosen", n[0], c, n[1], n[2], n[3]),
			s.Check("check", "holds", n[0], c, n[1]),
		}
	}}
}

// armCases have undefined values where they matter and where they do not.
func armCases() []Case {
	choose := func(s graph.Scope, name, label string, a ...graph.ID) graph.ID {
		return s.Choose(name, label, a[0], graph.Less, a[1], a[2], a[3])
	}
	at := func(s graph.Scope, name, label string, a ...graph.ID) graph.ID {
		return s.At(name, label, a[0], a[1:]...)
	}
	out := cases("choose", false, []row{
		{"then-undefined-chosen", choose, []string{"1", "2", Undefined, "4"}, Undefined},
		{"then-undefined-not-chosen", choose, []string{"2", "1", Undefined, "4"}, "4"},
		{"otherwise-undefined-chosen", choose, []string{"2", "1", "3", Undefined}, Undefined},
		{"otherwise-undefined-not-chosen", choose, []string{"1", "2", "3", Undefined}, "3"},
	})
	out = append(out, cases("at", false, []row{
		{"first", at, []string{"1", "10", "20", "30"}, "10"},
		{"last", at, []string{"3.00", "10", "20", "30"}, "30"},
		{"snapped", at, []string{"2.0000000004", "10", "20", "30"}, "20"},
		{"snapped-up", at, []string{"1.9999999996", "10", "20", "30"}, "20"},
		{"between", at, []string{"1.5", "10", "20", "30"}, Undefined},
		{"nearly", at, []string{"2.000000001", "10", "20", "30"}, Undefined},
		{"zero", at, []string{"0", "10", "20", "30"}, Undefined},
		{"negative", at, []string{"-1", "10", "20", "30"}, Undefined},
		{"past-the-end", at, []string{"4", "10", "20", "30"}, Undefined},
		{"not-chosen-undefined", at, []string{"2", Undefined, "20", Undefined}, "20"},
		{"chosen-undefined", at, []string{"2", "10", Undefined, "30"}, Undefined},
		{"index-undefined", at, []string{Undefined, "10"}, Undefined},
	})...)
	return append(out, cases("least", false, []row{
		{"one", graph.Scope.Least, []string{"5"}, "1"},
		{"middle", graph.Scope.Least, []string{"3", "1", "2"}, "2"},
		{"last", graph.Scope.Least, []string{"3", "1", "-2"}, "3"},
		{"tie", graph.Scope.Least, []string{"3", "2.50", "2.5", "2.5"}, "2"},
		{"tie-by-snap", graph.Scope.Least, []string{"1.0000000004", "1.0000000001", "1"}, "1"},
		{"no-tie", graph.Scope.Least, []string{"1.0000000006", "1.0000000004"}, "2"},
		{"undefined", graph.Scope.Least, []string{"1", Undefined}, Undefined},
	})...)
}

// decidedCases hold the value a solver found while its input stays in its
// window, the ends included.
func decidedCases() []Case {
	var out []Case
	for i, input := range []string{"10", "15", "20.0"} {
		out = append(out, Case{Name: fmt.Sprintf("decided/in-window-%d", i+1), Want: []string{"3", "45"},
			Build: func(s graph.Scope) []graph.ID {
				x := number(s, "quantity", input)
				d := s.Decided("pattern", "cutting pattern", graph.Plain, decimal.New(3, 0), graph.Choice{
					Solver: "cutting pattern", Rule: "most blanks; first on ties",
					Valid: []graph.Window{{Input: x, Low: decimal.New(10, 0), High: decimal.New(20, 0)}}})
				return []graph.ID{d, s.Multiply("blanks", "blanks", d, number(s, "per", "15"))}
			}})
	}
	out = append(out, Case{Name: "decided/not-drawn", Want: []string{"7", Undefined, Undefined}, Build: func(s graph.Scope) []graph.ID {
		x := number(s, "cost", "7")
		d := s.Drawn("added", "what the draws add", x, graph.Draws{Count: 4096, Seed: 1, Share: decimal.New(8, -1)}, "80 of 100 draws")
		return []graph.ID{x, d, s.Add("rests", "cost it rests on", x, d)}
	}})
	return append(out, Case{Name: "decided/without-window", Want: []string{"2.5"}, Build: func(s graph.Scope) []graph.ID {
		return []graph.ID{s.Decided("lot", "lot size", graph.Piece, decimal.New(25, -1), graph.Choice{Solver: "lot size"})}
	}})
}
