package graph_test

import (
	"testing"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/graphtest"
)

// TestConvert looks at the structure; the suite of the evaluators has the values.
func TestConvert(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name     string
		unit     graph.Unit
		from, to graph.Unit
		op       graph.Op
		factors  int // arguments that are the factor
		want     string
	}{
		{"multiply", graph.Hour, graph.Hour, graph.Minute, graph.Multiply, 1, "min"},
		{"divide", graph.Minute, graph.Minute, graph.Hour, graph.Divide, 1, "h"},
		{"square", graph.Inch.Power(2), graph.Inch, graph.Mm, graph.Multiply, 2, "mm²"},
		{"below the line", graph.Piece.Per(graph.Hour), graph.Hour, graph.Minute, graph.Divide, 1, "piece/min"},
		{"below the line, back", graph.Piece.Per(graph.Minute), graph.Minute, graph.Hour, graph.Multiply, 1, "piece/h"},
		{"square, back", graph.Mm.Power(2), graph.Mm, graph.Dm, graph.Divide, 0, "dm²"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			b := graph.NewBuilder(graph.Limits{})
			s := b.Root().In("part", "A")
			id := s.Convert("x", "x", input(s, "a", c.unit), c.from, c.to)
			g := graphtest.Built(t, b)
			n := g.Node(id)
			factors := 0
			for _, a := range n.Args {
				if g.Node(a).Kind == graph.Fixed {
					factors++
				}
			}
			if n.Key != "part/A/x" || n.Op != c.op || factors != c.factors || n.Unit.String() != c.want {
				t.Errorf("%s with %d factors in %q", n.Op, factors, n.Unit)
			}
		})
	}
}

// TestConvertSharesFactors: the factor is one node for the whole graph.
func TestConvertSharesFactors(t *testing.T) {
	t.Parallel()
	b := graph.NewBuilder(graph.Limits{})
	for _, part := range []string{"A", "B"} {
		s := b.Root().In(part)
		s.Convert("x", "x", input(s, "hours", graph.Hour), graph.Hour, graph.Minute)
		s.Convert("y", "y", input(s, "minutes", graph.Minute), graph.Minute, graph.Hour)
	}
	g := graphtest.Built(t, b)
	factor, ok := g.Find("fixed/min-per-h")
	if !ok || g.Len() != 9 || !g.Node(factor).Value.Equal(dec("60")) || g.Node(factor).Source.Cite == "" {
		t.Errorf("%d nodes, factor found %v", g.Len(), ok)
	}
}

func TestConvertFaults(t *testing.T) {
	t.Parallel()
	for name, c := range map[string][3]graph.Unit{
		"no such unit within": {graph.Hour, graph.Mm, graph.Cm},
		"no factor":           {graph.Hour, graph.Hour, graph.Gram},
		"half a power":        {mustRoot(graph.Mm), graph.Mm, graph.Cm},
		"plain":               {graph.Plain, graph.Plain, graph.Minute},
		"to itself":           {graph.Hour, graph.Hour, graph.Hour},
	} {
		b := graph.NewBuilder(graph.Limits{})
		s := b.Root()
		id := s.Convert("x", "x", input(s, "a", c[0]), c[1], c[2])
		found := faults(t, b)
		if id != graph.Failed || len(found) != 1 || found[0].Kind != graph.BadUnit || found[0].Key != "x" {
			t.Errorf("%s: %v", name, found)
		}
	}
}

func mustRoot(u graph.Unit) graph.Unit {
	root, _ := u.Root()
	return root
}

func TestOneAndZero(t *testing.T) {
	t.Parallel()
	b := graph.NewBuilder(graph.Limits{})
	s, other := b.Root(), b.Root().In("elsewhere")
	if s.One(graph.Piece) != other.One(graph.Piece) || s.Zero(graph.Mm) != other.Zero(graph.Mm) || s.One(graph.Piece) == s.One(graph.Plain) {
		t.Error("fixed numbers are not shared by unit")
	}
	rate := s.One(graph.Currency("EUR").Per(graph.Micron))
	half := s.Zero(mustRoot(graph.Mm))
	g := graphtest.Built(t, b)
	if g.Node(rate).Key != "fixed/one-EUR.um-1" || g.Node(half).Key != "fixed/zero-mm0.5" {
		t.Errorf("keys %s, %s", g.Node(rate).Key, g.Node(half).Key)
	}
}
