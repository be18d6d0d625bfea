package graph_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/graphtest"
)

// TestStanding has a line for every way in which something missing reaches a figure.
func TestStanding(t *testing.T) {
	t.Parallel()
	b := graph.NewBuilder(graph.Limits{})
	s := b.Root()
	gap := s.Missing("gap", "wage", graph.Plain, "wage of BENCH")
	other := s.Missing("other", "wage again", graph.Plain, "wage of BENCH")
	two := s.Input("two", "two", graph.Plain, dec("2"))
	minus := s.Input("minus", "minus two", graph.Plain, dec("-2"))
	share := s.Range("share", "share", graph.Plain, dec("0.1"), dec("0.2"), dec("1"))
	rest := s.Subtract("rest", "1 − share", s.One(graph.Plain), share)
	unproved := s.Subtract("unproved", "share − 1", share, s.One(graph.Plain))
	lost := s.Subtract("lost", "two − gap", two, gap)
	axis := graph.Axis{X: gap, Bands: graph.Bands{BelowClosed: []bool{true}}, Edges: []graph.ID{two}}
	want := map[graph.ID]graph.State{
		gap: graph.AtLeast, two: graph.Clean, rest: graph.Clean, lost: graph.Withheld,
		s.Add("add", "", two, gap, minus):                                   graph.AtLeast,
		s.Add("add-lost", "", two, lost):                                    graph.Withheld,
		s.Multiply("by-positive", "", two, gap, rest):                       graph.AtLeast,
		s.Multiply("by-negative", "", gap, minus):                           graph.Withheld,
		s.Multiply("by-unproved", "", gap, unproved):                        graph.Withheld,
		s.Multiply("square", "", gap, gap):                                  graph.AtLeast,
		s.Multiply("square-below", "", s.Add("below", "", gap, minus), gap): graph.Withheld,
		s.Subtract("minuend", "", gap, minus):                               graph.AtLeast,
		s.Divide("numerator", "", gap, rest):                                graph.AtLeast,
		s.Divide("numerator-below", "", gap, minus):                         graph.Withheld,
		s.Divide("denominator", "", two, gap):                               graph.Withheld,
		s.SumProducts("sum", "", two, gap, minus, two):                      graph.AtLeast,
		s.SumProducts("sum-below", "", two, two, minus, gap):                graph.Withheld,
		s.Minimum("minimum", "", two, gap):                                  graph.AtLeast,
		s.Maximum("maximum", "", two, gap):                                  graph.AtLeast,
		s.Least("least", "", two, gap):                                      graph.Withheld,
		s.At("at", "", s.One(graph.Plain), gap):                             graph.AtLeast,
		s.At("at-by", "", gap, two, two):                                    graph.Withheld,
		s.Floor("floor", "", gap, two):                                      graph.AtLeast,
		s.Ceiling("ceiling", "", gap, two):                                  graph.AtLeast,
		s.Round("round", "", gap, two):                                      graph.AtLeast,
		s.RoundEven("round-even", "", gap, two):                             graph.AtLeast,
		s.Floor("floor-step", "", two, gap):                                 graph.Withheld,
		s.Power("power", "", two, gap):                                      graph.Withheld,
		s.SquareRoot("root", "", gap):                                       graph.Withheld,
		s.NaturalLog("ln", "", gap):                                         graph.Withheld,
		s.ArcCosine("arccos", "", gap):                                      graph.Withheld,
		s.Band("band", "", axis, two, two):                                  graph.Withheld,
		s.Band2("band2", "", axis, graph.Axis{X: two}, two, two):            graph.Withheld,
		s.Choose("choose", "", two, graph.Less, minus, two, gap):            graph.AtLeast,
		s.Choose("choose-by", "", gap, graph.Less, minus, two, two):         graph.Withheld,
		s.Check("check", "", two, graph.Less, gap):                          graph.Withheld,
		s.Decided("decided", "", graph.Plain, dec("1"), graph.Choice{Valid: []graph.Window{{Input: gap, High: dec("1")}}}): graph.Withheld,
		s.Decided("settled", "", graph.Plain, dec("1"), graph.Choice{Valid: []graph.Window{{Input: two, High: dec("3")}}}): graph.Clean,
		s.Drawn("drawn", "", gap, graph.Draws{}, ""):        graph.Withheld,
		s.Drawn("drawn-of-two", "", two, graph.Draws{}, ""): graph.Clean,
	}
	for op, rest := range map[string][]graph.ID{ // what is proven not to be negative, as the other factor
		"yes": {rest, s.Add("yes-add", "", two, two), s.Maximum("yes-maximum", "", minus, two),
			s.Choose("yes-choose", "", minus, graph.Less, two, two, rest), s.At("yes-at", "", two, rest, two), s.Floor("yes-floor", "", two, two)},
		"no": {minus, s.Add("no-add", "", two, minus), s.Minimum("no-minimum", "", minus, two), s.NaturalLog("no-ln", "", two),
			s.Choose("no-choose", "", minus, graph.Less, two, two, minus), s.At("no-at", "", two, minus, two), s.Floor("no-floor", "", minus, two)},
	} {
		for i, id := range rest {
			want[s.Multiply(fmt.Sprintf("%s-%d", op, i), "", gap, id)] = map[string]graph.State{"yes": graph.AtLeast, "no": graph.Withheld}[op]
		}
	}
	both := s.Add("both", "", gap, other)
	g := graphtest.Built(t, b)
	standing := g.Standing(nil)
	for id, state := range want {
		if got := standing.Of(id); got != state {
			t.Errorf("%s is %d, want %d", g.Node(id).Key, got, state)
		}
		if named := standing.Missing(id); len(named) != map[bool]int{true: 0, false: 1}[state == graph.Clean] {
			t.Errorf("%s rests on %d things missing", g.Node(id).Key, len(named))
		}
	}
	if named := standing.Missing(both, lost); len(named) != 1 || named[0].Missing != "wage of BENCH" {
		t.Errorf("one thing missing at two places is named %d times", len(named))
	}
	held := g.Standing(map[graph.ID]decimal.Decimal{gap: dec("3"), other: dec("3")})
	for id := range want {
		if held.Of(id) != graph.Clean {
			t.Errorf("%s is %d when a wage is put in", g.Node(id).Key, held.Of(id))
		}
	}
}

// TestEveryOperationHasARule for what something missing makes of it.
func TestEveryOperationHasARule(t *testing.T) {
	t.Parallel()
	for seed := range uint64(3) {
		nodes, _ := withMissing(graphtest.Random(seed, 400), rand.New(rand.NewPCG(seed, 1)))
		g, err := graph.Restore(nodes, nil)
		if err != nil {
			t.Fatal(err)
		}
		g.Standing(nil) // a slot without a rule would be called
	}
}

// withMissing takes the numbers out of some inputs.
func withMissing(g *graph.Graph, rnd *rand.Rand) (nodes []graph.Node, missing []graph.ID) {
	for id := range graph.ID(g.Len()) {
		n := g.Node(id)
		if n.Op == graph.Constant && n.Kind == graph.Input && rnd.IntN(6) == 0 {
			n.Value, n.Missing = decimal.Zero, strings.ToUpper(n.Key)
			missing = append(missing, id)
		}
		nodes = append(nodes, n)
	}
	return nodes, missing
}

// TestBoundsHold puts drawn numbers in the place of what is missing in random
// graphs: no figure falls below what it is at least, and no clean one moves. What
// binary numbers find is worked out again exactly before it is believed.
func TestBoundsHold(t *testing.T) {
	t.Parallel()
	const graphs, draws = 157, 64
	var bounded, checked int
	for seed := range uint64(graphs) {
		rnd := rand.New(rand.NewPCG(seed, 23))
		nodes, missing := withMissing(graphtest.Random(seed, 60+int(seed%3)*80), rnd)
		g, err := graph.Restore(nodes, nil)
		if err != nil {
			t.Fatal(err)
		}
		base, err := exact.Evaluate(g, nil)
		if err != nil || len(missing) == 0 {
			continue // beyond what is computed, or outside a decision
		}
		standing, outputs, hold := g.Standing(nil), []graph.ID{}, map[graph.ID]float64{}
		for id := range graph.ID(g.Len()) {
			if _, ok := base.Raw(id); ok && standing.Of(id) != graph.Withheld {
				outputs = append(outputs, id)
			}
			if n := g.Node(id); n.Op == graph.Decided {
				hold[id] = n.Value.InexactFloat64()
			}
		}
		plan, err := column.New(g, column.Options{Vary: missing, Outputs: outputs, Hold: hold})
		if err != nil {
			continue
		}
		columns := plan.Columns()
		for i := range missing {
			for k := range draws {
				columns.In(i)[k] = float64(rnd.IntN(3)) * math.Exp(8*rnd.Float64()-4)
			}
		}
		if err := columns.Run(draws); err != nil {
			t.Fatal(err)
		}
		for o, id := range outputs {
			v, _ := base.Raw(id)
			least := v.InexactFloat64()
			if standing.Of(id) == graph.AtLeast {
				bounded++
			}
			for k, got := range columns.Out(o)[:draws] {
				checked++
				off := 1e-9 * (1 + math.Abs(least))
				if math.IsNaN(got) || got >= least-off && (standing.Of(id) == graph.AtLeast || got <= least+off) {
					continue
				}
				pins := exact.Pins{}
				for i, m := range missing {
					pins[m] = decimal.NewFromFloat(columns.In(i)[k])
				}
				values, err := exact.Evaluate(g, pins)
				if err != nil {
					continue
				}
				if now, ok := values.Raw(id); ok && (now.LessThan(v) || standing.Of(id) == graph.Clean && !now.Equal(v)) {
					t.Fatalf("graph %d: %s, %s, is %s with numbers put in and %s without", seed, g.Node(id).Key, g.Node(id).Op, now, v)
				}
			}
		}
	}
	if bounded < 1000 {
		t.Errorf("only %d figures have a bound", bounded)
	}
	t.Logf("%d figures with a bound, %d draws", bounded, checked)
}

// TestDrawnOfWhatStandsLater: bytes that were read back may say that a figure is drawn of
// one that stands after it, or of none; it has a standing all the same.
func TestDrawnOfWhatStandsLater(t *testing.T) {
	t.Parallel()
	for _, of := range []string{"gap", "drawn", "nobody"} {
		g, err := graph.Restore([]graph.Node{
			{Key: "drawn", Operation: graph.Operation{Op: graph.Decided, Decision: &graph.Choice{Drawn: &graph.Draws{Of: of, Error: of}}}, Kind: graph.Decision},
			{Key: "gap", Kind: graph.Input, Missing: "wage"},
		}, nil)
		if err != nil {
			t.Fatal(err)
		}
		if s := g.Standing(nil); s.Of(0) != graph.Clean || len(s.Missing(0, 1)) != 1 {
			t.Errorf("drawn of %s: %d, %v", of, s.Of(0), s.Missing(0, 1))
		}
	}
}
