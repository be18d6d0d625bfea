package graph_test

import (
	"errors"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/graphtest"
)

// nodes are those of a small graph with a decision.
func nodes(t *testing.T) (*graph.Graph, []graph.Node) {
	t.Helper()
	b := graph.NewBuilder(graph.Limits{})
	s := b.Root().In("a")
	x := s.Input("x", "x", graph.Currency("EUR"), decimal.New(3, 0))
	y := s.Input("y", "y", graph.Piece, decimal.New(2, 0))
	s.Divide("each", "each", x, y)
	s.Decided("lot", "lot", graph.Piece, decimal.New(2, 0), graph.Choice{Valid: []graph.Window{{Input: y, Low: decimal.New(1, 0), High: decimal.New(5, 0)}}})
	s.Estimate("r", "r", graph.Minute, bom.Number{Low: decimal.New(1, 0), Likely: decimal.New(2, 0), High: decimal.New(4, 0), IsRange: true,
		Shape: bom.Normal, SD: decimal.New(5, -1)})
	s.Find(graph.Note, "x", "a remark")
	g := graphtest.Built(t, b)
	var out []graph.Node
	for id := range graph.ID(g.Len()) {
		out = append(out, g.Node(id))
	}
	return g, out
}

func TestRestore(t *testing.T) {
	t.Parallel()
	g, all := nodes(t)
	back, err := graph.Restore(all, g.Findings())
	if err != nil || back.Len() != g.Len() || len(back.Findings()) != 1 {
		t.Fatalf("%v nodes, %v", back, err)
	}
	if id, ok := back.Find("a/each"); !ok || back.Node(id).Unit != graph.Currency("EUR").Per(graph.Piece) {
		t.Error("a/each has not come back")
	}
}

func TestRestoreRefusesWhatNoScopeWrites(t *testing.T) {
	t.Parallel()
	for name, spoil := range map[string]func(n []graph.Node){
		"argument before it": func(n []graph.Node) { n[2].Args = []graph.ID{0, 2} },
		"no argument":        func(n []graph.Node) { n[2].Args = nil },
		"none":               func(n []graph.Node) { n[2].Args = []graph.ID{graph.None, 0} },
		"other unit":         func(n []graph.Node) { n[2].Unit = graph.Hour },
		"operation":          func(n []graph.Node) { n[2].Op = graph.OpCount },
		"kind":               func(n []graph.Node) { n[2].Kind = 9 },
		"comparison":         func(n []graph.Node) { n[2].Compare = 9 },
		"key twice":          func(n []graph.Node) { n[1].Key = n[0].Key },
		"key":                func(n []graph.Node) { n[1].Key = "a b" },
		"no decision":        func(n []graph.Node) { n[3].Decision = nil },
		"decision":           func(n []graph.Node) { n[0].Decision = &graph.Choice{} },
		"window":             func(n []graph.Node) { n[3].Decision = &graph.Choice{Valid: []graph.Window{{Input: 77}}} },
		"shape":              func(n []graph.Node) { n[0].Shape = bom.Pert },
		"deviation":          func(n []graph.Node) { n[0].SD = decimal.New(1, 0) },
		"range falls":        func(n []graph.Node) { n[4].Low = decimal.New(9, 0) },
		"shape of a range":   func(n []graph.Node) { n[4].Shape = bom.ShapeCount },
		"no deviation":       func(n []graph.Node) { n[4].SD = decimal.Decimal{} },
		"spare deviation":    func(n []graph.Node) { n[4].Shape = bom.Pert },
		"wide deviation":     func(n []graph.Node) { n[4].SD = decimal.New(1, 1200) },
		"digits":             func(n []graph.Node) { n[0].Value = decimal.New(1, 5000) },
	} {
		_, all := nodes(t)
		spoil(all)
		var fault *graph.FaultError
		if _, err := graph.Restore(all, nil); !errors.As(err, &fault) {
			t.Errorf("%s: %v, want a FaultError", name, err)
		}
	}
}

func TestExtendLeavesTheGraphAlone(t *testing.T) {
	t.Parallel()
	g, _ := nodes(t)
	before := g.Len()
	b := graph.Extend(g)
	s := b.Root()
	s.Add("twice", "twice", s.Lookup("a/x"), s.Lookup("a/x"))
	more, err := b.Build()
	if err != nil || more.Len() != before+1 || g.Len() != before || len(more.Findings()) != 1 {
		t.Errorf("%d and %d nodes, %v", more.Len(), g.Len(), err)
	}
	if _, ok := g.Find("twice"); ok {
		t.Error("the graph has grown")
	}
}

func TestUnitText(t *testing.T) {
	t.Parallel()
	root, _ := graph.Mm.Root()
	for want, u := range map[string]graph.Unit{
		"": graph.Plain, "EUR": graph.Currency("EUR"), "EUR*piece^-1": graph.Currency("EUR").Per(graph.Piece),
		"mm^0.5": root, "um^3": graph.Micron.Power(3), "g*mm^-0.5": graph.Gram.Per(root), "EUR^-1*USD": graph.Currency("USD").Per(graph.Currency("EUR")),
	} {
		text, err := u.MarshalText()
		if err != nil || string(text) != want {
			t.Errorf("%s is written %q, %v; want %q", u, text, err, want)
		}
		var back graph.Unit
		if err := back.UnmarshalText([]byte(want)); err != nil || back != u {
			t.Errorf("%q is read as %s, %v", want, back, err)
		}
	}
	for _, bad := range []string{"eur", "EUR*", "*", "EUR^1", "EUR^0", "EUR*EUR", "µm", "mm^.5", "mm^+2", "mm^9999999", "?", "piece^-1*EUR", " "} {
		var u graph.Unit
		if err := u.UnmarshalText([]byte(bad)); err == nil {
			t.Errorf("%q is read as %q", bad, u)
		}
	}
}
