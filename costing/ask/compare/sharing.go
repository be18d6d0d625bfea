package compare

import (
	"cmp"
	"context"
	"errors"
	"maps"
	"slices"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// sharing is a difference that is shared out over the inputs that changed: those
// of one figure, in a graph that both sides have in common.
type sharing struct {
	g             *graph.Graph
	target        graph.ID
	held          exact.Pins // figures that are pinned, or the same on both sides
	inputs        []input    // in order of their shared names
	before, after decimal.Decimal
	whole         decimal.Decimal // what is shared out
	scale         decimal.Decimal
}

// input is a figure that is given and differs.
type input struct {
	Pair
	name     string
	at       graph.ID // in the graph of the sharing
	decision bool
}

// share fills in the shares of a result: of the headline where both have the same
// structure, otherwise of the sum of the lines that have, and of each other line.
func (c *comparison) share(ctx context.Context, r *Result, lines []pairedLine) error {
	g, target, whole := c.before.g, c.before.top, r.Difference
	if !r.Alike {
		var nodes []graph.ID
		var parts []decimal.Decimal
		for _, l := range lines {
			if l.Alike {
				nodes, parts = append(nodes, l.was), append(parts, l.Share)
			}
		}
		target = graph.None
		if len(nodes) > 0 {
			b := graph.Extend(g)
			target, whole = sumOf(b.Root().In("compare", "alike"), "lines of the same structure", nodes), total(parts...)
			var err error
			if g, err = b.Build(); err != nil {
				return err
			}
		}
	}
	if target != graph.None {
		if err := c.shareInputs(ctx, r, g, target, whole); err != nil {
			return err
		}
	}
	for i := range lines {
		if l := lines[i].Line; !r.Alike && !l.Alike && !l.Share.IsZero() {
			r.Shares = append(r.Shares, Share{Kind: OfLine, Line: &r.Lines[i], Amount: l.Share})
		}
	}
	return nil
}

// shareInputs shares a figure out over the inputs that changed.
func (c *comparison) shareInputs(ctx context.Context, r *Result, g *graph.Graph, target graph.ID, whole decimal.Decimal) error {
	s, err := c.over(g, target, whole)
	if err != nil || len(s.inputs) == 0 {
		return err
	}
	amounts, method, err := s.shareOut(ctx, c.limits)
	if err != nil {
		return err
	}
	r.Method = method
	if method.Rule == Together {
		all := Share{Kind: OfAll, Amount: whole}
		for _, in := range s.inputs {
			all.Inputs = append(all.Inputs, in.Pair)
		}
		r.Shares = []Share{all}
		return nil
	}
	for i, in := range s.inputs {
		share := Share{Before: in.Before, After: in.After, Amount: amounts[i]}
		if in.decision {
			share.Kind = OfDecision
		}
		r.Shares = append(r.Shares, share)
	}
	return nil
}

// over makes the sharing of one figure of the side before; g may have figures
// behind those of that side.
func (c *comparison) over(g *graph.Graph, target graph.ID, whole decimal.Decimal) (*sharing, error) {
	cone, in, _ := g.Extract(target)
	s := &sharing{g: cone, target: in[0], held: exact.Pins{}, whole: whole, scale: c.scale}
	partners := map[int]graph.ID{} // the given figures of the side after, by class
	for id, class := range c.is {
		if c.after.leaf(graph.ID(id)) {
			partners[class] = graph.ID(id)
		}
	}
	reached := make([]bool, g.Len()) // from the target, not through a figure that is given
	reached[target] = true
	for id := target; id >= 0; id-- {
		n := g.Node(id)
		if !reached[id] {
			continue
		}
		if int(id) >= len(c.was) || !c.before.leaf(id) {
			for _, a := range n.Args {
				reached[a] = true
			}
			continue
		}
		at, _ := cone.Find(n.Key)
		p := Pair{c.before.figure(id), c.after.figure(partners[c.was[id]])}
		if !p.Before.Value.Equal(p.After.Value) {
			s.inputs = append(s.inputs, input{Pair: p, name: c.before.names.of(n.Key), at: at, decision: n.Op == graph.Decided})
		} else if c.before.held(id) {
			s.held[at] = p.Before.Value
		}
	}
	slices.SortFunc(s.inputs, func(a, b input) int { return cmp.Compare(a.name, b.name) })
	e, err := exact.New(s.g), error(nil)
	if s.before, err = s.value(e, func(int) bool { return false }); err != nil {
		return nil, &EvaluateError{"before", err}
	}
	if s.after, err = s.value(e, func(int) bool { return true }); err != nil {
		return nil, &EvaluateError{"after", err}
	}
	return s, nil
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
func (s *sharing) shareOut(ctx context.Context, l limits) ([]decimal.Decimal, Method, error) {
	rules := []func(context.Context, limits) ([]decimal.Decimal, Method, error){s.overSubsets, s.along}
	if len(s.inputs) > l.few {
		rules = rules[1:]
	}
	together := Method{Rule: Together, Inputs: len(s.inputs)}
	for _, rule := range rules {
		amounts, m, err := rule(ctx, l)
		if between := (&betweenError{}); errors.As(err, &between) {
			together.Reason = between.Error()
			continue
		}
		m.Inputs = len(s.inputs)
		return amounts, m, err
	}
	return nil, together, nil
}

// overSubsets is Shapley's rule by the exact evaluator. The shares have the places
// of the difference, and at least enough for any currency.
func (s *sharing) overSubsets(ctx context.Context, _ limits) ([]decimal.Decimal, Method, error) {
	e := exact.New(s.g)
	m := Method{Rule: Shapley, Evaluations: 1 << len(s.inputs), Settled: true}
	amounts, err := shapley(ctx, len(s.inputs), func(subset uint) (decimal.Decimal, error) {
		v, err := s.value(e, func(i int) bool { return subset&(1<<i) != 0 })
		if err != nil {
			err = &betweenError{err.Error()}
		}
		return v, err
	}, max(-s.whole.Exponent(), 24))
	if err != nil {
		return nil, m, err
	}
	return amounts, m, addUp("the changed inputs", amounts, s.whole, s.scale, shapleyDigits)
}
