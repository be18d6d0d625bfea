package curve

import (
	"context"
	"errors"
	"math"
	"math/bits"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
	"kerfbook/costing/graph/exact"
)

// judged is the least number of quantities that the grain of a curve is judged
// by, should the range itself have fewer.
const judged = 64

// scan holds the figures and the state of every step at every quantity.
type scan struct {
	w      *work
	n      int         // quantities asked for
	all    int         // with those added to judge the grain
	values [][]float64 // per figure, then the batch cost if there is one
	states [][]state   // per step; of extremes, after relabel, the choice taken
	turns  [][]int32   // per step: the i with another state at i+1 than at i
	breaks [][]bool    // per step and i: it turns there and is no grain
	grain  [][]int32   // per step: the turns that are
	sizes  [][]float64 // per step, of counts: the size of a multiple, for each quantity if it moves
	doubts []bool
	ids    []graph.ID // outputs of the plan
	plan   *column.Plan
}

// scan runs the column evaluator over the range and lets the exact one settle
// what is in doubt.
func (w *work) scan(ctx context.Context) (*scan, error) {
	n := int(w.request.To - w.request.From + 1)
	s := &scan{w: w, n: n, all: max(n, judged)}
	if err := s.makePlan(); err != nil {
		return nil, err
	}
	s.makeRoom()
	err := s.read(ctx)
	var at *QuantityError
	if errors.As(err, &at) && at.Quantity > w.request.To {
		s.all = n // what lies behind the range is of no concern
		err = s.read(ctx)
	}
	if err != nil {
		return nil, err
	}
	if err := s.checkDefined(); err != nil {
		return nil, err
	}
	if err := s.settle(ctx); err != nil {
		return nil, err
	}
	for i := range s.w.steps {
		if s.w.steps[i].form == extreme {
			relabel(s.states[i][:s.all])
		}
		s.turns = append(s.turns, turns(s.states[i][:s.all]))
	}
	s.sift()
	return s, nil
}

// drawn are the figures whose values are kept: those asked for, and the batch cost.
func (w *work) drawn() []graph.ID {
	if w.batch == graph.None {
		return w.request.Figures
	}
	return append(append([]graph.ID(nil), w.request.Figures...), w.batch)
}

func (s *scan) makePlan() (err error) {
	seen := make([]bool, s.w.g.Len())
	add := func(ids ...graph.ID) {
		for _, id := range ids {
			if !seen[id] {
				seen[id] = true
				s.ids = append(s.ids, id)
			}
		}
	}
	add(s.w.drawn()...)
	for _, st := range s.w.steps {
		add(st.node)
		add(st.probes...)
		add(st.choices...)
		add(st.asks...)
	}
	s.plan, err = s.w.plan(s.w.g, nil, s.ids)
	return err
}

// table gives the columns of the outputs by figure.
func (s *scan) table(c *column.Columns) [][]float64 {
	out := make([][]float64, s.w.g.Len())
	for i, id := range s.ids {
		out[id] = c.Out(i)
	}
	return out
}

// plan plans a graph with the lines of the request, and more figures, varying.
func (w *work) plan(g *graph.Graph, vary, outputs []graph.ID) (*column.Plan, error) {
	o := column.Options{Outputs: outputs, Hold: map[graph.ID]float64{}}
	for _, l := range w.request.Lines {
		o.Vary = append(o.Vary, l.Quantity)
	}
	o.Vary = append(o.Vary, vary...)
	for id, v := range w.request.Hold {
		o.Hold[id] = v.InexactFloat64()
	}
	p, err := column.New(g, o)
	if err != nil {
		return nil, w.evaluation(w.request.From, err)
	}
	return p, nil
}

func (s *scan) makeRoom() {
	s.values = make([][]float64, len(s.w.drawn()))
	for i := range s.values {
		s.values[i] = make([]float64, s.all)
	}
	s.states = make([][]state, len(s.w.steps))
	for i := range s.states {
		s.states[i] = make([]state, s.all)
	}
	s.sizes = make([][]float64, len(s.w.steps))
	for i := range s.w.steps {
		s.sizes[i] = []float64{1}
		if id := s.w.steps[i].size(); id != graph.None && s.w.moves[id] {
			s.sizes[i] = make([]float64, s.all)
		}
	}
	s.doubts = make([]bool, s.all)
}

// read takes values, states and doubts over, block by block.
func (s *scan) read(ctx context.Context) error {
	c := s.plan.Columns()
	table := s.table(c)
	return s.w.blocks(ctx, c, s.all, func(int, int) {}, func(start, n int) {
		for i, id := range s.w.drawn() {
			copy(s.values[i][start:start+n], table[id])
		}
		for i := range s.w.steps {
			s.readStep(table, i, start, n)
		}
	})
}

func (s *scan) readStep(table [][]float64, i, start, n int) {
	st := &s.w.steps[i]
	node, value, k := s.w.g.Node(st.node), table[st.node], 0
	probe := func(p int) float64 { return table[st.probes[p]][k] }
	if id := st.size(); id != graph.None {
		if s.w.moves[id] {
			copy(s.sizes[i][start:], table[id][:n])
		} else {
			s.sizes[i][0] = table[id][0]
		}
	}
	for ; k < n; k++ {
		s.states[i][start+k] = st.stateOf(value[k], s.size(i, start+k), probe)
	}
	st.doubts(node, table, s.doubts[start:start+n])
}

// size is the size of a multiple of a count at a quantity.
func (s *scan) size(step, i int) float64 {
	return s.sizes[step][min(i, len(s.sizes[step])-1)]
}

// blocks fills in the quantities, and what else is given before, and runs a block
// after another.
func (w *work) blocks(ctx context.Context, c *column.Columns, all int, before, after func(start, n int)) error {
	for start := 0; start < all; start += column.Block {
		if err := ctx.Err(); err != nil {
			return err
		}
		n := min(column.Block, all-start)
		w.fill(c, start, n)
		before(start, n)
		if err := c.Run(n); err != nil {
			return w.locate(start, n, err)
		}
		after(start, n)
	}
	return nil
}

func (w *work) fill(c *column.Columns, start, n int) {
	for i, l := range w.request.Lines {
		col := c.In(i)
		for k := range n {
			col[k] = float64(l.Per * (w.request.From + int64(start+k)))
		}
	}
}

// locate finds the first quantity of a block at which the exact evaluator fails
// as the column evaluator did.
func (w *work) locate(start, n int, err error) error {
	for k := range n {
		if _, exactly := w.at(w.request.From+int64(start+k), nil); exactly != nil {
			return exactly
		}
	}
	return w.evaluation(w.request.From+int64(start), err)
}

// settle takes states and values from the exact evaluator wherever one is in doubt.
func (s *scan) settle(ctx context.Context) error {
	for i, doubtful := range s.doubts[:s.all] {
		if !doubtful {
			continue
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		v, err := s.w.at(s.quantity(i), nil)
		if err != nil {
			if i >= s.n {
				s.all = i
				return nil
			}
			return err
		}
		for f, id := range s.w.drawn() {
			s.values[f][i] = float(v, id)
		}
		for k := range s.w.steps {
			s.states[k][i] = s.w.steps[k].exactState(v)
		}
	}
	return nil
}

func (s *scan) quantity(i int) int64 { return s.w.request.From + int64(i) }

// checkDefined finds the first quantity at which a figure has no value, and ends
// what was added behind the range there.
func (s *scan) checkDefined() error {
	for i := range s.all {
		for f, id := range s.w.drawn() {
			if !math.IsNaN(s.values[f][i]) {
				continue
			}
			if i >= s.n {
				s.all = i
				return nil
			}
			if err := s.undefined(i, id); err != nil {
				return err
			}
		}
	}
	return nil
}

func (s *scan) undefined(i int, id graph.ID) error {
	v, err := s.w.at(s.quantity(i), nil)
	if err != nil {
		return err
	}
	if _, err = v.Get(id); err == nil {
		s.doubts[i] = true
		return nil
	}
	var none *exact.UndefinedError
	if errors.As(err, &none) {
		return &QuantityError{s.quantity(i), err, "narrow the range to quantities at which " + none.Cause + " has a value"}
	}
	return err
}

// relabel turns sets of equal extremes into the choice taken: one argument for as
// long as it is an extreme, so that a tie belongs to what was taken before it.
func relabel(states []state) {
	for start := 0; start < len(states); {
		common, end := states[start], start+1
		for end < len(states) && (common&states[end] != 0 || states[end] == states[end-1]) {
			common &= states[end]
			end++
		}
		label := undefined
		if common != 0 {
			label = state(bits.TrailingZeros64(uint64(common)))
		}
		for i := start; i < end; i++ {
			states[i] = label
		}
		start = end
	}
}

func turns(states []state) (out []int32) {
	for i := 1; i < len(states); i++ {
		if states[i] != states[i-1] {
			out = append(out, int32(i-1))
		}
	}
	return out
}
