package proof_test

import (
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/graphtest"
	"kerfbook/costing/graph/proof"
)

// TestEveryCaseIsExplained explains every figure of the shared table: each
// operation has words, and each argument a step.
func TestEveryCaseIsExplained(t *testing.T) {
	t.Parallel()
	said := map[string]bool{}
	for _, c := range graphtest.Cases() {
		g, _, err := c.Graph()
		if err != nil {
			t.Fatal(err)
		}
		values, err := exact.Evaluate(g, nil)
		if err != nil {
			continue // the evaluator's own cases of refusal
		}
		for id := range graph.ID(g.Len()) {
			s := proof.Explain(g, values, id, -1)
			n := g.Node(id)
			said[s.Operation] = true
			if s.How == "" || s.Key != n.Key || len(s.Arguments) != len(n.Args) || len(s.Steps) != len(n.Args) {
				t.Errorf("%s: %s is explained by %+v", c.Name, n.Key, s)
			}
			if _, defined := values.Raw(id); defined != (s.Value != "") {
				t.Errorf("%s: %s has value %q", c.Name, n.Key, s.Value)
			}
		}
	}
	for op := range graph.OpCount {
		if !said[op.String()] {
			t.Errorf("operation %s is in no case", op)
		}
	}
}

func small(t *testing.T) (*graph.Graph, *exact.Values) {
	t.Helper()
	b := graph.NewBuilder(graph.Limits{})
	s := b.Root().Of("lamp")
	minutes := s.Input("minutes", "cutting minutes", graph.Minute, decimal.New(12, 0))
	rate := s.Of("mill").Input("rate", "machine rate", graph.Currency("EUR").Per(graph.Minute), decimal.New(5, -1))
	cost := s.By("C2").Multiply("cost", "cost", minutes, rate)
	s.Add("twice", "cost of two", cost, cost)
	g := graphtest.Built(t, b)
	values := graphtest.Evaluated(t, g)
	return g, values
}

func TestDepthAndRepetition(t *testing.T) {
	t.Parallel()
	g, values := small(t)
	id, _ := g.Find("twice")
	if s := proof.Explain(g, values, id, 0); !s.More || s.Steps != nil {
		t.Errorf("depth 0 gives %+v", s)
	}
	s := proof.Explain(g, values, id, -1)
	if s.Steps[0].Again || !s.Steps[1].Again || s.Steps[1].Steps != nil {
		t.Errorf("a figure met twice is opened %+v", s.Steps)
	}
	cost := s.Steps[0]
	if cost.How != "cutting minutes × machine rate (mill)" || cost.Formula != "C2" || cost.Value != "6.0" && cost.Value != "6" {
		t.Errorf("cost is explained by %q, %s = %s", cost.How, cost.Formula, cost.Value)
	}
}

func TestRangesInWords(t *testing.T) {
	t.Parallel()
	dec := decimal.RequireFromString
	for _, c := range []struct {
		shape   bom.Shape
		sd, how string
	}{
		{bom.Triangular, "", "likely 4.8, between 4.2 and 6.1 (triangular)"},
		{bom.Pert, "", "likely 4.8, between 4.2 and 6.1 (pert)"},
		{bom.Normal, "0.4", "likely 4.8, between 4.2 and 6.1 (normal, deviation 0.4)"},
	} {
		r := bom.Number{Low: dec("4.2"), Likely: dec("4.80"), High: dec("6.1"), IsRange: true, Shape: c.shape}
		if c.sd != "" {
			r.SD = dec(c.sd)
		}
		b := graph.NewBuilder(graph.Limits{})
		id := b.Root().Number("minutes", "cutting minutes", graph.Minute, r, "")
		g := graphtest.Built(t, b)
		values := graphtest.Evaluated(t, g)
		if s := proof.Explain(g, values, id, 0); s.How != c.how || s.Low != "4.2" || s.High != "6.1" || s.Shape != c.shape.String() || s.SD != c.sd {
			t.Errorf("%v is explained by %+v", c.shape, s)
		}
	}
}

func TestSumsInWordsAreBracketed(t *testing.T) {
	t.Parallel()
	b := graph.NewBuilder(graph.Limits{})
	s := b.Root()
	x := s.Input("x", "1 − scrap", graph.Plain, decimal.New(9, -1))
	y := s.Input("y", "need", graph.Piece, decimal.New(9, 0))
	s.Divide("z", "bought", y, x)
	g := graphtest.Built(t, b)
	values := graphtest.Evaluated(t, g)
	if how := proof.Explain(g, values, 2, 1).How; !strings.Contains(how, "need ÷ (1 − scrap)") {
		t.Errorf("it says %q", how)
	}
}

// TestRestsFollowsTheArmTaken builds a choice between a sure and an unsure row.
func TestRestsFollowsTheArmTaken(t *testing.T) {
	t.Parallel()
	b := graph.NewBuilder(graph.Limits{})
	s := b.Root()
	value := s.Input("value", "value", graph.Plain, decimal.New(100, 0))
	limit := s.Input("limit", "limit", graph.Plain, decimal.New(135, 0))
	sure := s.From(graph.Source{Where: "row 1", Cite: "a handbook"}).Input("sure", "sure", graph.Plain, decimal.New(1, 0))
	unsure := s.From(graph.Source{Where: "row 2", Unverified: true}).Input("unsure", "unsure", graph.Plain, decimal.New(2, 0))
	choice := s.Choose("choice", "choice", value, graph.LessOrEqual, limit, sure, unsure)
	index := s.Add("index", "index", s.One(graph.Plain), s.One(graph.Plain))
	pick := s.At("pick", "pick", index, sure, unsure)
	g := graphtest.Built(t, b)
	for _, c := range []struct {
		value            int64
		figure           graph.ID
		onSure, onUnsure bool
	}{{100, choice, true, false}, {136, choice, false, true}, {100, pick, false, true}} {
		values, err := exact.Evaluate(g, exact.Pins{value: decimal.New(c.value, 0)})
		if err != nil {
			t.Fatal(err)
		}
		rests := proof.Rests(g, values, c.figure)
		if rests[sure] != c.onSure || rests[unsure] != c.onUnsure || proof.Unverified(g, values)[c.figure] != c.onUnsure {
			t.Errorf("%s at %d rests on the sure row: %t, on the unsure row: %t", g.Node(c.figure).Key, c.value, rests[sure], rests[unsure])
		}
	}
}
