package compare

import (
	"cmp"
	"context"
	"maps"
	"slices"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// share fills in the shares of a result: of the headline where both sides have the
// same structure, otherwise of the sum of the lines that have, and of each other
// line.
func (c *comparison) share(ctx context.Context, r *Result, l limits) error {
	r.Method.Rule = NoInputs
	g, target, whole := c.before.Graph, c.before.top, r.Difference
	var others []Share
	if !r.Alike {
		var nodes []graph.ID
		var parts []decimal.Decimal
		for i := range r.Lines {
			switch l := &r.Lines[i]; {
			case l.Alike:
				nodes, parts = append(nodes, l.was), append(parts, l.Share)
			case !l.Share.IsZero():
				others = append(others, Share{Kind: OfLine, Line: l, Amount: l.Share})
			}
		}
		b := graph.Extend(g)
		target, whole = b.Root().In("compare").Total("alike", "lines of the same structure", nodes...), total(parts...)
		var err error
		if g, err = b.Build(); err != nil {
			return err
		}
	}
	if target != graph.None {
		if s := c.sharing(g, target, whole); len(s.inputs) > 0 {
			var err error
			if r.Shares, r.Method, err = s.shareOut(ctx, l); err != nil {
				return err
			}
		}
	}
	r.Shares = append(r.Shares, others...)
	slices.SortStableFunc(r.Shares, func(a, b Share) int { return bySize(a.Amount, b.Amount) })
	return nil
}

// sharing is a difference that is shared out over the inputs that changed: those
// of one figure, in a graph that both sides have in common.
type sharing struct {
	g      *graph.Graph
	target graph.ID
	held   exact.Pins      // figures that are pinned, or decided or computed and the same on both sides
	inputs []input         // in order of their shared names
	whole  decimal.Decimal // what is shared out
	scale  decimal.Decimal
}

// input is a figure that is given and differs.
type input struct {
	Pair
	name     string
	at       graph.ID // in the graph of the sharing
	decision bool
}

// sharing makes the sharing of one figure of the side before; g may have figures
// behind those of that side.
func (c *comparison) sharing(g *graph.Graph, target graph.ID, whole decimal.Decimal) *sharing {
	cone, in, _ := g.Extract(target)
	s := &sharing{g: cone, target: in[0], held: exact.Pins{}, whole: whole, scale: c.scale}
	partners := map[int]graph.ID{} // the given figures of the side after, by class
	for id, class := range c.after.classes {
		if c.after.given(graph.ID(id)) {
			partners[class] = graph.ID(id)
		}
	}
	g.Reached([]graph.ID{target}, func(id graph.ID) []graph.ID { // not through a figure that is given
		n := g.Node(id)
		if len(n.Args) > 0 && !c.before.held[id] {
			return n.Args
		}
		at, _ := cone.Find(n.Key)
		p := Pair{c.before.figure(id), c.after.figure(partners[c.before.classes[id]])}
		if !p.Before.Value.Equal(p.After.Value) {
			s.inputs = append(s.inputs, input{Pair: p, name: c.before.names.of(n.Key), at: at, decision: n.Op == graph.Decided})
		} else if c.before.held[id] || n.Op == graph.Decided {
			s.held[at] = p.Before.Value
		}
		return nil
	})
	slices.SortFunc(s.inputs, func(a, b input) int { return cmp.Compare(a.name, b.name) })
	return s
}

// value evaluates the target with some of the inputs changed.
func (s *sharing) value(e *exact.Evaluator, changed func(input int) bool) (decimal.Decimal, error) {
	pins := maps.Clone(s.held)
	for i, in := range s.inputs {
		if pins[in.at] = in.Before.Value; changed(i) {
			pins[in.at] = in.After.Value
		}
	}
	values, err := e.Evaluate(pins)
	if err != nil {
		return decimal.Decimal{}, err
	}
	return values.Get(s.target)
}

// shareOut shares out by the rule that suits the number of inputs. Where a figure
// on the way has no value it tries the other rule; where that has none either, all
// inputs stay together in one share.
func (s *sharing) shareOut(ctx context.Context, l limits) ([]Share, Method, error) {
	type rule struct {
		share  func(context.Context, limits) ([]decimal.Decimal, Method, error)
		digits int32
	}
	rules := []rule{{s.overSubsets, shapleyDigits}, {s.along, wayDigits}}
	if len(s.inputs) > l.few {
		rules = rules[1:]
	}
	together := Method{Rule: Together, Inputs: len(s.inputs)}
	for _, rule := range rules {
		amounts, m, err := rule.share(ctx, l)
		if stopped := ctx.Err(); stopped != nil {
			return nil, m, stopped
		}
		if err != nil {
			together.Reason = "with only some of the inputs changed, " + err.Error()
			continue
		}
		m.Inputs = len(s.inputs)
		err = addUp("the changed inputs", amounts, s.whole, s.scale, rule.digits)
		var out []Share
		for i, in := range s.inputs {
			share := Share{Kind: OfInput, Before: in.Before, After: in.After, Amount: amounts[i]}
			if in.decision {
				share.Kind = OfDecision
			}
			out = append(out, share)
		}
		return out, m, err
	}
	all := Share{Kind: OfAll, Amount: s.whole}
	for _, in := range s.inputs {
		all.Inputs = append(all.Inputs, in.Pair)
	}
	return []Share{all}, together, nil
}

// overSubsets is Shapley's rule by the exact evaluator. The shares have the places
// of the difference, and at least enough for any currency.
func (s *sharing) overSubsets(ctx context.Context, _ limits) ([]decimal.Decimal, Method, error) {
	e := exact.New(s.g)
	amounts, err := shapley(ctx, len(s.inputs), func(subset uint) (decimal.Decimal, error) {
		return s.value(e, func(i int) bool { return subset&(1<<i) != 0 })
	}, max(-s.whole.Exponent(), 24))
	return amounts, Method{Rule: Shapley, Evaluations: 1 << len(s.inputs), Settled: true}, err
}
