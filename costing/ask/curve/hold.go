package curve

import (
	"context"
	"math"
	"slices"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
)

// held answers, for all quantities at once, what the figures would be if every
// step were still as it was one or two quantities before. It uses the graph with
// every choice that steps replaced by a look-up with a given index.
type held struct {
	s       *scan
	plan    *column.Plan
	steps   []int  // places in work.steps
	choices []bool // per steps: a choice, given by its index
}

// newHeld holds the steps that turn anywhere and are no grain there.
func (s *scan) newHeld() (*held, error) {
	h := &held{s: s}
	indexed := map[graph.ID]bool{}
	for i, st := range s.w.steps {
		if slices.Contains(s.breaks[i], true) {
			h.steps = append(h.steps, i)
			h.choices = append(h.choices, st.choices != nil)
			indexed[st.node] = st.choices != nil
		}
	}
	if len(h.steps) == 0 {
		return h, nil
	}
	g, at, index, err := h.replaced(indexed)
	if err != nil {
		return nil, err
	}
	moved := *s.w
	moved.request = s.w.request.renumbered(at)
	var vary, outputs []graph.ID
	for k, i := range h.steps {
		id := s.w.steps[i].node
		if h.choices[k] {
			vary = append(vary, index[id])
		} else {
			vary = append(vary, at[id])
		}
	}
	for _, id := range s.w.drawn() {
		outputs = append(outputs, at[id])
	}
	h.plan, err = moved.plan(g, vary, outputs)
	return h, err
}

// replaced gives the graph with choices replaced by look-ups, where the figures
// are in it, and the indices of the look-ups.
func (h *held) replaced(indexed map[graph.ID]bool) (g *graph.Graph, at, index map[graph.ID]graph.ID, err error) {
	w := h.s.w
	at, index = map[graph.ID]graph.ID{}, map[graph.ID]graph.ID{}
	var nodes []graph.Node
	for id := range graph.ID(w.g.Len()) {
		n := renumbered(*w.g.Node(id), func(a graph.ID) graph.ID { return at[a] })
		if indexed[id] {
			index[id] = graph.ID(len(nodes))
			nodes = append(nodes, graph.Node{Key: "curve/index/" + n.Key, Label: "index of " + n.Label, Op: graph.Constant, Value: decimal.New(1, 0)})
			n = graph.Node{Key: n.Key, Label: n.Label, Op: graph.At, Unit: n.Unit, Args: []graph.ID{index[id]}}
			for _, c := range w.steps[w.stepOf[id]-1].choices {
				n.Args = append(n.Args, at[c])
			}
		}
		at[id] = graph.ID(len(nodes))
		nodes = append(nodes, n)
	}
	g, err = graph.Restore(nodes, nil)
	return g, at, index, err
}

// next gives the figures, and of every place between i and i+1 their values at
// i+1 with all steps as they were at i.
func (h *held) next(ctx context.Context) ([][]float64, error) {
	return h.run(ctx, 1, func(step int, turn int32) []instead {
		return []instead{{int(turn) + 1, int(turn)}}
	})
}

// afterNext gives the values at i+2 with all steps as they were at i+1, and those
// that turned before it and stay so as they were at i. Held against what next gives
// for the place after, it finds steps that make no difference in the beginning.
func (h *held) afterNext(ctx context.Context) ([][]float64, error) {
	return h.run(ctx, 2, func(step int, turn int32) []instead {
		i, states := int(turn), h.s.states[step]
		if i+2 < len(states) && states[i+1] == states[i+2] {
			return []instead{{i + 1, i}, {i + 2, i}}
		}
		return []instead{{i + 1, i}}
	})
}

// instead is a quantity at which a step is taken as it is at another.
type instead struct{ at, as int }

// run gives the values so many quantities after each place, with every step that
// turns taken as asked. Places whose value would lie beyond what was scanned are
// left out.
func (h *held) run(ctx context.Context, lag int, taken func(step int, turn int32) []instead) ([][]float64, error) {
	s := h.s
	out := make([][]float64, len(s.values))
	all := min(s.all, s.n+1)
	if len(h.steps) == 0 || all <= lag {
		return out, nil
	}
	for f := range out {
		out[f] = make([]float64, all-lag)
	}
	c, before := h.plan.Columns(), len(s.w.request.Lines)
	fill := func(start, n int) {
		for k := range h.steps {
			h.fill(k, c.In(before + k)[:n], start, taken)
		}
	}
	err := s.w.blocks(ctx, c, all, fill, func(start, n int) {
		for f := range out {
			skip := max(0, lag-start)
			copy(out[f][start+skip-lag:], c.Out(f)[skip:n])
		}
	})
	return out, err
}

// fill gives a step as it is, and otherwise where asked.
func (h *held) fill(k int, col []float64, start int, taken func(step int, turn int32) []instead) {
	i := h.steps[k]
	for j := range col {
		col[j] = h.given(k, start+j)
	}
	for _, turn := range h.s.turns[i] {
		if !h.s.breaks[i][turn] || int(turn) < start-2 {
			continue
		}
		if int(turn) >= start+len(col) {
			break
		}
		for _, other := range taken(i, turn) {
			if j := other.at - start; j >= 0 && j < len(col) {
				col[j] = h.given(k, other.as)
			}
		}
	}
}

// given is what the state of a held step at a quantity is to the plan: an index
// from 1, or the value of a count.
func (h *held) given(k, at int) float64 {
	i := h.steps[k]
	switch st := h.s.states[i][at]; {
	case st == undefined:
		return math.NaN()
	case h.choices[k]:
		return float64(st) + 1
	default:
		return float64(int64(st)) * h.s.size(i, at)
	}
}

// apart allows for the rounding of two ways to one figure.
func apart(free, held float64) bool {
	return math.IsNaN(free) != math.IsNaN(held) || math.Abs(free-held) > 1e-12*math.Abs(free)
}
