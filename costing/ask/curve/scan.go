package curve

import (
	"context"
	"errors"
	"math"
	"math/bits"
	"slices"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
	"kerfbook/costing/graph/exact"
)

// judged is the least number of quantities that the grain of a curve is judged
// by, should the range itself have fewer.
const judged = 64

// scan holds the figures and the state of every step at every quantity.
type scan struct {
	m      *model
	n      int         // quantities asked for
	all    int         // with those added to judge the grain
	values [][]float64 // per figure drawn
	states [][]state   // per step; of extremes, after relabel, the choice taken
	turns  [][]int32   // per step: the i with another state at i+1 than at i
	breaks [][]bool    // per step and i: it turns there and is no grain
	grain  [][]int32   // per step: the turns that are
	doubts []bool
}

// scan runs the column evaluator over the range and lets the exact one say what
// is in doubt.
func (m *model) scan(ctx context.Context) (*scan, error) {
	n := int(m.request.To - m.request.From + 1)
	s := &scan{m: m, n: n, all: max(n, judged)}
	err := s.read(ctx)
	var at *QuantityError
	if errors.As(err, &at) && at.Quantity > m.request.To {
		s.all = n // what lies behind the range is of no concern
		err = s.read(ctx)
	}
	if err != nil {
		return nil, err
	}
	if err := s.decide(ctx); err != nil {
		return nil, err
	}
	for i, st := range m.steps {
		if st.sets {
			relabel(s.states[i][:s.all])
		}
		s.turns = append(s.turns, turns(s.states[i][:s.all]))
	}
	return s, s.sift()
}

// read takes values, states and doubts over, block by block.
func (s *scan) read(ctx context.Context) error {
	m := s.m
	ids := slices.Clone(m.drawn)
	for _, st := range m.steps {
		ids = append(append(append(append(ids, st.node), st.probes...), st.choices...), st.asks...)
	}
	slices.Sort(ids)
	ids = slices.Compact(ids)
	plan, err := m.plan(m.g, 0, nil, ids)
	if err != nil {
		return err
	}
	c, table := plan.Columns(), make([][]float64, m.g.Len()) // the columns by figure
	for i, id := range ids {
		table[id] = c.Out(i)
	}
	s.values, s.states, s.doubts = make([][]float64, len(m.drawn)), make([][]state, len(m.steps)), make([]bool, s.all)
	for f := range s.values {
		s.values[f] = make([]float64, s.all)
	}
	for k := range s.states {
		s.states[k] = make([]state, s.all)
	}
	return m.blocks(ctx, c, s.all, nil, func(start, n int) {
		for f, id := range m.drawn {
			copy(s.values[f][start:start+n], table[id])
		}
		for k := range m.steps {
			st, at := &m.steps[k], 0
			value := func(id graph.ID) float64 { return table[id][at] }
			for ; at < n; at++ {
				s.states[k][start+at] = st.stateOf(value)
			}
			st.doubts(m.g.Operation(st.node), table, s.doubts[start:start+n])
		}
	})
}

// blocks runs a plan block after block: it fills in the quantities, and what else
// is given, and has the outcome read.
func (m *model) blocks(ctx context.Context, c *column.Columns, all int, fill, read func(start, n int)) error {
	for start := 0; start < all; start += column.Block {
		if err := ctx.Err(); err != nil {
			return err
		}
		n, from := min(column.Block, all-start), m.request.From+int64(start)
		for k, quantities := 0, c.In(0); k < n; k++ {
			quantities[k] = float64(from + int64(k))
		}
		if fill != nil {
			fill(start, n)
		}
		if err := c.Run(n); err != nil {
			for k := range n { // the first quantity at which the exact evaluator fails as well
				if _, exactly := m.at(from + int64(k)); exactly != nil {
					return exactly
				}
			}
			return evaluation(from, err)
		}
		read(start, n)
	}
	return nil
}

// decide takes values and states from the exact evaluator wherever one is in doubt
// or has no value. The first quantity at which a figure has none is an error; what
// was added behind the range ends there.
func (s *scan) decide(ctx context.Context) error {
	for i := range s.all {
		undefined := slices.ContainsFunc(s.values, func(v []float64) bool { return math.IsNaN(v[i]) })
		if !undefined && !s.doubts[i] {
			continue
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		v, err := s.m.at(s.quantity(i))
		for f, id := range s.m.drawn {
			if err == nil {
				if _, none := v.Get(id); none != nil {
					err = evaluation(s.quantity(i), none)
				}
				s.values[f][i] = float(v, id)
			}
		}
		switch {
		case err != nil && i >= s.n:
			s.all = i
			return nil
		case err != nil:
			return err
		}
		for k := range s.m.steps {
			s.states[k][i] = s.m.steps[k].exactState(v)
		}
	}
	return nil
}

func (s *scan) quantity(i int) int64 { return s.m.request.From + int64(i) }

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

// The grain of a curve: what steps so often that its steps are no breaks.
const (
	grainShare = 3    // more than one step in so many quantities
	grainRow   = 30   // of so many in a row, or of the whole range
	grainMoney = 1000 // or a rounding of money to less than one part in so many
)

// sift parts the turns of every step into breaks and grain.
func (s *scan) sift() error {
	end, err := s.m.live()
	if err != nil {
		return err
	}
	s.m.pin(end, s.m.request.To)
	const most = grainRow / grainShare
	s.breaks, s.grain = make([][]bool, len(s.turns)), make([][]int32, len(s.turns))
	for i, turns := range s.turns {
		s.breaks[i] = make([]bool, s.all)
		all, fine := len(turns)*grainShare > s.all-1 || len(turns) > 0 && s.roundsMoney(i, end), make([]bool, len(turns))
		for k := range turns {
			if k >= most && turns[k]-turns[k-most] < grainRow {
				for j := k - most; j <= k; j++ {
					fine[j] = true
				}
			}
		}
		for k, at := range turns {
			if all || fine[k] {
				s.grain[i] = append(s.grain[i], at)
			} else {
				s.breaks[i][at] = true
			}
		}
	}
	return nil
}

// roundsMoney reports that a step rounds an amount of money to so small a part of
// it that nobody would call it a step: to the smallest coin.
func (s *scan) roundsMoney(k int, end *exact.Live) bool {
	st := s.m.steps[k]
	if _, money := currencyOf(s.m.g.Unit(st.node)); !money || st.size == graph.None {
		return false
	}
	return float(end, st.size)*grainMoney < float(end, st.asks[0])
}
