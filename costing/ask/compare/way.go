package compare

import (
	"context"
	"errors"
	"math"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
	"kerfbook/costing/graph/exact"
)

// way shares out along the straight way from one side to the other. The floats
// here are shares of a difference that the exact evaluator found; they are put
// right to it in the end.
type way struct {
	*sharing
	columns     *column.Columns
	from, to    []float64 // values of the inputs
	first, last float64   // exact values at the ends
}

// along is the rule of Aumann and Shapley: the pieces are doubled until no share
// moves by more than the tolerance, or the evaluations are used up.
func (s *sharing) along(ctx context.Context, l limits) ([]decimal.Decimal, Method, error) {
	m := Method{Rule: AumannShapley, Tolerance: l.tolerance}
	w, err := s.way()
	if err != nil {
		return nil, m, err
	}
	var shares []float64
	for n := 4; !m.Settled; n *= 2 {
		pieces := cut(n)
		points := len(pieces) * 2 * len(w.inputs)
		if shares != nil && m.Evaluations+points > l.most {
			break
		}
		next, err := w.level(ctx, pieces)
		if err != nil {
			return nil, m, err
		}
		if shares != nil {
			m.Moved = moved(shares, next, w.last-w.first)
			m.Settled = m.Moved <= l.tolerance
		}
		shares, m.Pieces, m.Evaluations = next, n, m.Evaluations+points
	}
	return fromBinary(shares), m, nil
}

// way plans the evaluation in columns.
func (s *sharing) way() (*way, error) {
	e := exact.New(s.g)
	first, err := s.value(e, func(int) bool { return false })
	if err != nil {
		return nil, err
	}
	last, err := s.value(e, func(int) bool { return true })
	if err != nil {
		return nil, err
	}
	w := &way{sharing: s, first: first.InexactFloat64(), last: last.InexactFloat64()}
	o := column.Options{Outputs: []graph.ID{s.target}, Hold: map[graph.ID]float64{}}
	for id, v := range s.held {
		o.Hold[id] = v.InexactFloat64()
	}
	for _, in := range s.inputs {
		o.Vary = append(o.Vary, in.at)
		w.from, w.to = append(w.from, in.Before.Value.InexactFloat64()), append(w.to, in.After.Value.InexactFloat64())
	}
	plan, err := column.New(s.g, o)
	if err != nil {
		return nil, err
	}
	w.columns = plan.Columns()
	return w, nil
}

// piece is a piece of the way, which goes from 0 to 1.
type piece struct{ from, to float64 }

// cut gives the pieces of the way cut into n, for n²/4 placements of the cuts, each
// time a little further on. What the pieces are too coarse for falls with their
// square, what the placements are too few for falls with their number.
func cut(n int) []piece {
	var out []piece
	placements := n * n / 4
	for k := range placements {
		p := piece{0, 0}
		for j := k; j < n*placements; j += placements {
			if p.to = float64(j) / float64(n*placements); p.to > 0 {
				out = append(out, p)
				p.from = p.to
			}
		}
		out = append(out, piece{p.from, 1})
	}
	return out
}

// level gives the average of the shares over some pieces. Every piece has two points
// for each input: its start; with the inputs changed one by one in ascending order;
// in descending order; its end.
func (w *way) level(ctx context.Context, pieces []piece) ([]float64, error) {
	n := len(w.inputs)
	values := make([]float64, len(pieces)*2*n)
	for start := 0; start < len(values); start += column.Block {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		block := values[start:min(start+column.Block, len(values))]
		for k := range block {
			p, point := pieces[(start+k)/(2*n)], (start+k)%(2*n)
			for i := range n {
				t := p.from
				if up := point < n; up && i < point || !up && i >= 2*n-1-point {
					t = p.to
				}
				w.columns.In(i)[k] = w.input(i, t)
			}
		}
		if err := w.columns.Run(len(block)); err != nil {
			return nil, err
		}
		copy(block, w.columns.Out(0))
	}
	shares := make([]float64, n)
	placements := 0
	for i, p := range pieces {
		points := values[i*2*n : (i+1)*2*n]
		if p.from == 0 { // at the ends of the way the exact values stand in for the binary ones
			points[0] = w.first
		}
		if p.to == 1 {
			points[2*n-1] = w.last
			placements++
		}
		addPiece(shares, points)
	}
	for i := range shares {
		shares[i] /= 2 * float64(placements)
		if math.IsNaN(shares[i]) || math.IsInf(shares[i], 0) {
			return nil, errors.New("a figure has no value half-way")
		}
	}
	return shares, nil
}

// input is the value of an input at a place of the way. A decision changes
// half-way.
func (w *way) input(i int, t float64) float64 {
	switch {
	case t == 1 || w.inputs[i].decision && t >= 0.5:
		return w.to[i]
	case w.inputs[i].decision:
		return w.from[i]
	}
	return w.from[i] + t*(w.to[i]-w.from[i])
}

// addPiece adds to the shares what each input changes in a piece, in both orders.
func addPiece(shares, points []float64) {
	n, end := len(shares), len(points)-1
	for i := range n {
		after := points[end]
		if i+1 < n {
			after = points[i+1]
		}
		shares[i] += after - points[i]
	}
	before := points[0]
	for down := range n {
		shares[n-1-down] += points[n+down] - before
		before = points[n+down]
	}
}

// moved is by how much the largest move of a share is, as a part of the largest
// share or of the difference.
func moved(was, is []float64, whole float64) float64 {
	move, most := 0.0, math.Abs(whole)
	for i := range was {
		move = max(move, math.Abs(is[i]-was[i]))
		most = max(most, math.Abs(is[i]))
	}
	if move == 0 {
		return 0
	}
	return move / most
}
