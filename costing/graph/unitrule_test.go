package graph_test

import (
	"fmt"
	"testing"

	"kerfbook/costing/graph"
)

// fault stands for the unit of a node that cannot be built.
const fault = "fault"

// unitCase gives an operation inputs in some units.
type unitCase struct {
	name  string
	build func(s graph.Scope, a []graph.ID) graph.ID
	want  string // unit of the result, or fault
	units []graph.Unit
}

func in(units ...graph.Unit) []graph.Unit { return units }

func nary(f func(graph.Scope, string, string, ...graph.ID) graph.ID) func(graph.Scope, []graph.ID) graph.ID {
	return func(s graph.Scope, a []graph.ID) graph.ID { return f(s, "x", "x", a...) }
}

func binary(f func(graph.Scope, string, string, graph.ID, graph.ID) graph.ID) func(graph.Scope, []graph.ID) graph.ID {
	return func(s graph.Scope, a []graph.ID) graph.ID { return f(s, "x", "x", a[0], a[1]) }
}

func unary(f func(graph.Scope, string, string, graph.ID) graph.ID) func(graph.Scope, []graph.ID) graph.ID {
	return func(s graph.Scope, a []graph.ID) graph.ID { return f(s, "x", "x", a[0]) }
}

func at(s graph.Scope, a []graph.ID) graph.ID { return s.At("x", "x", a[0], a[1:]...) }

func choose(s graph.Scope, a []graph.ID) graph.ID {
	return s.Choose("x", "x", a[0], graph.Less, a[1], a[2], a[3])
}

func check(s graph.Scope, a []graph.ID) graph.ID { return s.Check("x", "x", a[0], graph.Less, a[1]) }

// band has one inner edge: x, edge, values.
func band(s graph.Scope, a []graph.ID) graph.ID {
	axis := graph.Axis{X: a[0], Bands: graph.Bands{BelowClosed: []bool{true}}, Edges: a[1:2]}
	return s.Band("x", "x", axis, a[2:]...)
}

// band2 has one inner edge on its first axis: x, edge, y, values.
func band2(s graph.Scope, a []graph.ID) graph.ID {
	rows := graph.Axis{X: a[0], Bands: graph.Bands{BelowClosed: []bool{true}}, Edges: a[1:2]}
	return s.Band2("x", "x", rows, graph.Axis{X: a[2]}, a[3:]...)
}

func arithmeticUnits() []unitCase {
	euro, mm, area := graph.Currency("EUR"), graph.Mm, graph.Mm.Power(2)
	add, multiply, products := nary(graph.Scope.Add), nary(graph.Scope.Multiply), nary(graph.Scope.SumProducts)
	six := in(mm, euro, graph.Piece, graph.Hour, graph.Gram, graph.Kilowatt)
	return []unitCase{
		{"add", add, "EUR", in(euro, euro)},
		{"add dimensions", add, fault, in(euro, mm)},
		{"add units of one dimension", add, fault, in(graph.Hour, graph.Minute)},
		{"add nothing", add, fault, nil},
		{"multiply", multiply, "EUR", in(euro.Per(graph.Hour), graph.Hour)},
		{"multiply nothing", multiply, fault, nil},
		{"multiply six symbols", multiply, "EUR·g·kW·mm·piece·h", six},
		{"multiply seven symbols", multiply, fault, append(six, graph.Pound)},
		{"multiply eight symbols", multiply, fault, append(six, graph.Pound, graph.Minute)},
		{"subtract", binary(graph.Scope.Subtract), "mm", in(mm, mm)},
		{"subtract dimensions", binary(graph.Scope.Subtract), fault, in(mm, graph.Plain)},
		{"divide", binary(graph.Scope.Divide), "EUR/piece", in(euro, graph.Piece)},
		{"sum of products", products, "mm²", in(mm, mm, area, graph.Plain)},
		{"sum of different products", products, fault, in(mm, mm, mm, graph.Plain)},
		{"sum of half a pair", products, fault, in(mm)},
		{"minimum", nary(graph.Scope.Minimum), fault, in(mm, graph.Cm)},
		{"maximum", nary(graph.Scope.Maximum), "mm", in(mm, mm)},
	}
}

func functionUnits() []unitCase {
	euro, mm, plain := graph.Currency("EUR"), graph.Mm, graph.Plain
	return []unitCase{
		{"floor", binary(graph.Scope.Floor), "mm", in(mm, mm)},
		{"ceiling by a plain step", binary(graph.Scope.Ceiling), fault, in(mm, plain)},
		{"whole", unary(graph.Scope.Whole), "piece", in(graph.Piece)},
		{"round", binary(graph.Scope.Round), "EUR", in(euro, euro)},
		{"round half even", binary(graph.Scope.RoundEven), fault, in(euro, mm)},
		{"power", binary(graph.Scope.Power), "", in(plain, plain)},
		{"power of a length", binary(graph.Scope.Power), fault, in(mm, plain)},
		{"power with a unit", binary(graph.Scope.Power), fault, in(plain, graph.Piece)},
		{"root of an area", unary(graph.Scope.SquareRoot), "mm", in(mm.Power(2))},
		{"root of a length", unary(graph.Scope.SquareRoot), "mm^½", in(mm)},
		{"root of a root", unary(graph.Scope.SquareRoot), fault, in(mustRoot(mm))},
		{"logarithm of a length", unary(graph.Scope.NaturalLog), fault, in(mm)},
		{"arc cosine of a length", unary(graph.Scope.ArcCosine), fault, in(mm)},
	}
}

func choiceUnits() []unitCase {
	euro, mm, plain := graph.Currency("EUR"), graph.Mm, graph.Plain
	return []unitCase{
		{"least", nary(graph.Scope.Least), "", in(euro, euro)},
		{"least of currencies", nary(graph.Scope.Least), fault, in(euro, graph.Currency("GBP"))},
		{"at", at, "EUR", in(plain, euro, euro)},
		{"at with a unit", at, fault, in(graph.Piece, euro)},
		{"at of two units", at, fault, in(plain, euro, mm)},
		{"at of nothing", at, fault, in(plain)},
		{"choose", choose, "EUR", in(mm, mm, euro, euro)},
		{"choose by two units", choose, fault, in(mm, graph.Cm, euro, euro)},
		{"choose between two units", choose, fault, in(mm, mm, euro, mm)},
		{"check", check, "", in(mm, mm)},
		{"check of two units", check, fault, in(mm, euro)},
		{"band", band, "EUR", in(mm, mm, euro, euro)},
		{"band with an edge in another unit", band, fault, in(mm, graph.Cm, euro, euro)},
		{"band with values in two units", band, fault, in(mm, mm, euro, mm)},
		{"band without a value", band, fault, in(mm, mm, euro)},
		{"band with a value too many", band, fault, in(mm, mm, euro, euro, euro)},
		{"band in two dimensions", band2, "EUR", in(mm, mm, graph.Piece, euro, euro)},
		{"band in two dimensions without a value", band2, fault, in(mm, mm, graph.Piece, euro)},
	}
}

// TestUnitRules gives each operation arguments that fit and arguments that do not.
func TestUnitRules(t *testing.T) {
	t.Parallel()
	for _, c := range append(append(arithmeticUnits(), functionUnits()...), choiceUnits()...) {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			b := graph.NewBuilder(graph.Limits{})
			s := b.Root()
			var args []graph.ID
			for i, u := range c.units {
				args = append(args, input(s, fmt.Sprintf("a%d", i), u))
			}
			id := c.build(s, args)
			found := faults(t, b)
			switch {
			case c.want != fault:
				if len(found) > 0 || s.Unit(id).String() != c.want {
					t.Errorf("unit %q, want %q; faults %v", s.Unit(id), c.want, found)
				}
			case len(found) != 1 || found[0].Kind != graph.BadUnit || found[0].Key != "x" || id != graph.Failed:
				t.Errorf("faults %v", found)
			}
		})
	}
}
