package compare

import (
	"context"
	"errors"
	"math/rand/v2"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/graphtest"
	"kerfbook/testdata/depth"
)

// TestSharesAddUpOnRandomPairs changes inputs, and on every other pair the
// structure too.
func TestSharesAddUpOnRandomPairs(t *testing.T) {
	t.Parallel()
	const pairs = 1000
	seen := map[Rule]int{}
	unalike, lines, done := 0, 0, 0
	for seed := range depth.Seeds(pairs * 2) { // nearly half have no figure to compare, or a weight outside of all bounds
		before, after, ok := randomPair(seed)
		if !ok {
			continue
		}
		o := everyday
		if o.most = 4000; done%2 == 1 {
			o.few = 1
		}
		r, err := between(context.Background(), before, after, o)
		if outside := (&exact.RangeError{}); errors.As(err, &outside) {
			continue // a weight outside of all bounds, said so
		}
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		addsUp(t, r)
		seen[r.Method.Rule]++
		if !r.Alike {
			unalike++
		}
		if len(r.Lines) > 1 {
			lines++
		}
		done++
	}
	t.Logf("rules %v; %d of another structure; %d of several lines", seen, unalike, lines)
	if few := depth.Of(pairs) / 10; done < 10*few || seen[Shapley] < few || seen[AumannShapley] < few || unalike < few || lines < few {
		t.Errorf("too little was tried: rules %v; %d of another structure; %d of several lines", seen, unalike, lines)
	}
}

// randomPair draws a headline that has a value on both sides: the sum of some of
// the amounts of a random graph.
func randomPair(seed uint64) (before, after Side, ok bool) {
	rnd := rand.New(rand.NewPCG(seed, 9))
	g := graphtest.Random(seed, 60+rnd.IntN(120))
	was, is := g, g
	if seed%2 == 0 {
		if is, ok = altered(g); !ok {
			return before, after, false
		}
	}
	if before, ok = withHeadline(was, rnd); !ok {
		return before, after, false
	}
	after = before
	if is != was {
		if after, ok = withHeadline(is, rnd); !ok {
			return before, after, false
		}
	}
	after.Pins = randomPins(after.Graph, rnd)
	_, err := after.prepare("after")
	return before, after, err == nil
}

// withHeadline adds up to eight amounts of money up.
func withHeadline(g *graph.Graph, rnd *rand.Rand) (Side, bool) {
	values, err := exact.Evaluate(g, nil)
	if err != nil {
		return Side{}, false
	}
	var amounts []graph.ID
	for id := range graph.ID(g.Len()) {
		if n := g.Node(id); n.Unit == euro && len(n.Args) > 0 && values.Defined(id) {
			amounts = append(amounts, id)
		}
	}
	if len(amounts) == 0 {
		return Side{}, false
	}
	rnd.Shuffle(len(amounts), func(i, j int) { amounts[i], amounts[j] = amounts[j], amounts[i] })
	b := graph.Extend(g)
	b.Root().Add("headline", "amounts", amounts[:min(len(amounts), 8)]...)
	out, err := b.Build()
	return Side{Graph: out, Headline: "headline"}, err == nil
}

// randomPins changes some inputs and decisions. Decisions hold, whatever changes.
func randomPins(g *graph.Graph, rnd *rand.Rand) exact.Pins {
	pins, most := exact.Pins{}, rnd.IntN(5)
	for id := range graph.ID(g.Len()) {
		switch n := g.Node(id); n.Op {
		case graph.Constant, graph.Range:
			if rnd.IntN(5) <= most {
				pins[id] = n.Value.Mul(decimal.New(rnd.Int64N(60)+70, -2))
			}
		case graph.Decided:
			pins[id] = n.Value.Add(decimal.New(rnd.Int64N(2), 0))
		}
	}
	return pins
}

// altered takes arguments out of sums and turns extremes around.
func altered(g *graph.Graph) (*graph.Graph, bool) {
	nodes := make([]graph.Node, g.Len())
	for id := range nodes {
		n := g.Node(graph.ID(id))
		switch {
		case n.Op == graph.Add && len(n.Args) > 1:
			n.Args = n.Args[1:]
		case n.Op == graph.Minimum:
			n.Op = graph.Maximum
		}
		nodes[id] = n
	}
	out, err := graph.Restore(nodes, nil)
	return out, err == nil
}
