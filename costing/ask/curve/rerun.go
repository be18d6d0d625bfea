package curve

import (
	"context"
	"math"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
)

// rerun runs the graph a second time: what the figures would be, at all quantities
// at once, if every step were still as it was one or two quantities before. It uses
// the graph with every node that steps made of a given index.
type rerun struct {
	s     *scan
	plan  *column.Plan
	steps []int // that turn anywhere and are no grain there
}

func (s *scan) rerun() (*rerun, error) {
	r := &rerun{s: s}
	var nodes []graph.Node // the indices, then the figures
	var vary, outputs []graph.ID
	index := map[graph.ID]graph.ID{}
	for k, st := range s.m.steps {
		now := r.given(k, 0)
		if s.allGrain(k) || math.IsNaN(now) && len(s.turns[k]) == 0 {
			continue
		}
		id, n := graph.ID(len(nodes)), s.m.g.Node(st.node)
		index[st.node] = id
		at := graph.Node{Key: "curve/index/" + n.Key, Label: "index of " + n.Label, Unit: n.Unit, Operation: graph.Operation{Op: graph.Constant}}
		if st.choices != nil || st.size != graph.None {
			at.Unit = graph.Plain
		}
		if len(s.turns[k]) == 0 { // and must not because others are held
			at.Value = decimal.NewFromFloat(now)
		} else {
			r.steps, vary = append(r.steps, k), append(vary, id)
		}
		nodes = append(nodes, at)
	}
	if len(r.steps) == 0 {
		return r, nil
	}
	base := graph.ID(len(nodes))
	for id := range graph.ID(s.m.g.Len()) {
		n := renumbered(s.m.g.Node(id), func(a graph.ID) graph.ID { return base + a })
		if at, held := index[id]; held {
			n.Operation = s.m.steps[s.m.stepOf[id]-1].from(at, base)
		}
		nodes = append(nodes, n)
	}
	g, err := graph.Restore(nodes, nil)
	if err != nil {
		return nil, err
	}
	for _, id := range s.m.drawn {
		outputs = append(outputs, base+id)
	}
	r.plan, err = s.m.plan(g, base, vary, outputs)
	return r, err
}

// from makes the node of an index, in a graph in which figures begin at an ID.
func (st *step) from(index, base graph.ID) graph.Operation {
	o := graph.Operation{Op: graph.Add, Args: []graph.ID{index}}
	switch {
	case st.choices != nil:
		o.Op = graph.At
		for _, c := range st.choices {
			o.Args = append(o.Args, base+c)
		}
	case st.size != graph.None:
		o.Op, o.Args = graph.Multiply, append(o.Args, base+st.size)
	}
	return o
}

// values gives what the figures would be so many quantities, one or two, behind
// every place between i and i+1. At i+1 all steps are as they were at i. At i+2 they
// are as they were at i+1, and those that turned before it and stay so as they were
// at i; held against what is at i+1 of the place after, that finds steps that make
// no difference in the beginning. Places whose value would lie beyond what was
// scanned are left out.
func (r *rerun) values(ctx context.Context, behind int) ([][]float64, error) {
	s := r.s
	out, all := make([][]float64, len(s.values)), min(s.all, s.n+1)
	if len(r.steps) == 0 || all <= behind {
		return out, nil
	}
	for f := range out {
		out[f] = make([]float64, all-behind)
	}
	c := r.plan.Columns()
	fill := func(start, n int) {
		for k, i := range r.steps {
			r.fill(c.In(1 + k)[:n], i, start, behind)
		}
	}
	return out, s.m.blocks(ctx, c, all, fill, func(start, n int) {
		for f := range out {
			skip := max(0, behind-start)
			copy(out[f][start+skip-behind:], c.Out(f)[skip:n])
		}
	})
}

// fill gives a step as it is, and as it was behind every place at which it turns.
func (r *rerun) fill(col []float64, i, start, behind int) {
	states := r.s.states[i]
	for j := range col {
		col[j] = r.given(i, start+j)
	}
	for _, turn := range r.s.turns[i] {
		at := int(turn)
		if at >= start+len(col) {
			break
		}
		if !r.s.breaks[i][at] {
			continue
		}
		if j := at + 1 - start; j >= 0 && j < len(col) {
			col[j] = r.given(i, at)
		}
		stays := behind == 2 && at+2 < len(states) && states[at+1] == states[at+2]
		if j := at + 2 - start; stays && j >= 0 && j < len(col) {
			col[j] = r.given(i, at)
		}
	}
}

// given is what the state of a step at a quantity is to the plan: an index from 1, or
// the number itself.
func (r *rerun) given(i, at int) float64 {
	st := r.s.states[i][at]
	switch {
	case st == undefined:
		return math.NaN()
	case r.s.m.steps[i].choices != nil:
		return float64(st) + 1
	}
	return math.Float64frombits(uint64(st))
}

// apart allows for the rounding of two ways to one figure.
func apart(free, held float64) bool {
	return math.IsNaN(free) != math.IsNaN(held) || math.Abs(free-held) > 1e-12*math.Abs(free)
}
