package compare

import (
	"cmp"
	"context"
	"errors"
	"fmt"
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
	name          string
	at            graph.ID // in the graph of the sharing
	before, after decimal.Decimal
	pair          Pair
	decision      bool
}

// share fills in the shares of a result.
func (c *comparison) share(ctx context.Context, r *Result, lines []pairedLine) error {
	s, err := c.sharing(r, lines)
	if err != nil {
		return err
	}
	amounts := []decimal.Decimal(nil)
	if s != nil && len(s.inputs) > 0 {
		if amounts, r.Method, err = s.shareOut(ctx, c.options); err != nil {
			return err
		}
		r.Shares = s.shares(amounts, r.Method.Rule)
	}
	if r.Alike {
		return nil
	}
	for i := range lines {
		if l := lines[i].Line; !l.Alike && !l.Share.IsZero() {
			r.Shares = append(r.Shares, Share{Kind: OfLine, Line: &r.Lines[i], Amount: l.Share})
		}
	}
	return nil
}

// shares names what the amounts are shares of.
func (s *sharing) shares(amounts []decimal.Decimal, rule Rule) []Share {
	if rule == Together {
		all := Share{Kind: OfAll, Amount: amounts[0]}
		for _, in := range s.inputs {
			all.Inputs = append(all.Inputs, in.pair)
		}
		return []Share{all}
	}
	var out []Share
	for i, in := range s.inputs {
		share := Share{Before: in.pair.Before, After: in.pair.After, Amount: amounts[i]}
		if in.decision {
			share.Kind = OfDecision
		}
		out = append(out, share)
	}
	return out
}

// sharing prepares what is shared out: the headline where both have the same
// structure, otherwise the sum of the lines that have; nil where none has.
func (c *comparison) sharing(r *Result, lines []pairedLine) (*sharing, error) {
	if r.Alike {
		return c.over(c.before.g, c.before.top, r.Difference)
	}
	b := graph.Extend(c.before.g)
	var nodes []graph.ID
	var parts []decimal.Decimal
	for _, l := range lines {
		if l.Alike {
			nodes, parts = append(nodes, l.was), append(parts, l.Share)
		}
	}
	if len(nodes) == 0 {
		return nil, nil
	}
	sum := sumOf(b.Root().In("compare", "alike"), "lines of the same structure", nodes)
	g, err := b.Build()
	if err != nil {
		return nil, err
	}
	return c.over(g, sum, total(parts))
}

// sumOf adds any number of figures, a hundred at a time.
func sumOf(s graph.Scope, label string, ids []graph.ID) graph.ID {
	const most = 100
	for level := 0; len(ids) > 1; level++ {
		var sums []graph.ID
		for i, chunk := 0, []graph.ID(nil); i < len(ids); i += len(chunk) {
			chunk = ids[i:min(i+most, len(ids))]
			sums = append(sums, s.Add(fmt.Sprintf("%d/%d", level, i), label, chunk...))
		}
		ids = sums
	}
	return ids[0]
}

// over makes the sharing of one figure of the side before; g may have figures
// behind those of that side.
func (c *comparison) over(g *graph.Graph, target graph.ID, whole decimal.Decimal) (*sharing, error) {
	cone, in := restingOn(g, target)
	s := &sharing{g: cone, target: in[0], held: exact.Pins{}, whole: whole, scale: c.scale()}
	partners := c.partners()
	for id, reached := range c.reached(g, target) {
		if !reached || id >= len(c.was) || !c.before.leaf(graph.ID(id)) {
			continue
		}
		at, _ := cone.Find(g.Node(graph.ID(id)).Key)
		p := Pair{Before: c.before.figure(graph.ID(id)), After: c.after.figure(partners[c.was[id]])}
		if p.Before.Value.Equal(p.After.Value) {
			if c.before.held(graph.ID(id)) {
				s.held[at] = p.Before.Value
			}
			continue
		}
		s.inputs = append(s.inputs, input{name: c.before.names.of(p.Before.Key), at: at, before: p.Before.Value, after: p.After.Value,
			pair: p, decision: g.Node(graph.ID(id)).Op == graph.Decided})
	}
	slices.SortFunc(s.inputs, func(a, b input) int { return cmp.Compare(a.name, b.name) })
	return s, s.ends()
}

// partners gives the figure of the side after by its class.
func (c *comparison) partners() map[int]graph.ID {
	out := make(map[int]graph.ID, len(c.is))
	for id, class := range c.is {
		if c.after.leaf(graph.ID(id)) {
			out[class] = graph.ID(id)
		}
	}
	return out
}

// reached tells, per figure, whether the target rests on it without passing
// through a figure that is given.
func (c *comparison) reached(g *graph.Graph, target graph.ID) []bool {
	out := make([]bool, g.Len())
	out[target] = true
	for id := target; id >= 0; id-- {
		if out[id] && (int(id) >= len(c.was) || !c.before.leaf(id)) {
			for _, a := range g.Node(id).Args {
				out[a] = true
			}
		}
	}
	return out
}

// ends evaluates what is shared out with no input changed and with all.
func (s *sharing) ends() (err error) {
	e := exact.New(s.g)
	if s.before, err = s.value(e, func(int) bool { return false }); err != nil {
		return &EvaluateError{"before", err}
	}
	if s.after, err = s.value(e, func(int) bool { return true }); err != nil {
		return &EvaluateError{"after", err}
	}
	return nil
}

// value evaluates the target with some of the inputs changed.
func (s *sharing) value(e *exact.Evaluator, changed func(input int) bool) (decimal.Decimal, error) {
	pins := exact.Pins{}
	for id, v := range s.held {
		pins[id] = v
	}
	for i, in := range s.inputs {
		if pins[in.at] = in.before; changed(i) {
			pins[in.at] = in.after
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
func (s *sharing) shareOut(ctx context.Context, o Options) ([]decimal.Decimal, Method, error) {
	rules := []func(context.Context, Options) ([]decimal.Decimal, Method, error){s.along}
	if len(s.inputs) <= o.Few {
		rules = []func(context.Context, Options) ([]decimal.Decimal, Method, error){s.overSubsets, s.along}
	}
	reason := ""
	for _, rule := range rules {
		amounts, m, err := rule(ctx, o)
		undefined := &betweenError{}
		switch {
		case errors.As(err, &undefined):
			reason = undefined.Error()
			continue
		case err != nil:
			return nil, m, err
		}
		m.Inputs = len(s.inputs)
		return amounts, m, nil
	}
	return []decimal.Decimal{s.whole}, Method{Rule: Together, Inputs: len(s.inputs), Reason: reason}, nil
}

// betweenError is a figure without a value with only some inputs changed.
type betweenError struct{ what string }

func (e *betweenError) Error() string {
	return "with only some of the inputs changed, " + e.what
}

// overSubsets is Shapley's rule by the exact evaluator.
func (s *sharing) overSubsets(ctx context.Context, _ Options) ([]decimal.Decimal, Method, error) {
	e := exact.New(s.g)
	m := Method{Rule: Shapley, Evaluations: 1 << len(s.inputs), Settled: true}
	amounts, err := shapley(ctx, len(s.inputs), func(subset uint) (decimal.Decimal, error) {
		v, err := s.value(e, func(i int) bool { return subset&(1<<i) != 0 })
		if err != nil {
			return v, &betweenError{err.Error()}
		}
		return v, nil
	}, placesOf(s.whole))
	if err != nil {
		return nil, m, err
	}
	return amounts, m, settle("the changed inputs", amounts, s.whole, s.scale, shapleyDigits)
}

// shapleyDigits is how exact Shapley's shares must be before they are settled.
const shapleyDigits = 22
