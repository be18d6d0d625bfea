package compare

import (
	"context"
	"iter"
	"math"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
)

// way shares out along the straight way from one side to the other. The floats
// here are shares of a difference that the exact evaluator found; they are put
// right to it in the end.
type way struct {
	*sharing
	columns       *column.Columns
	from, to      []float64 // values of the inputs
	first, last   float64   // exact values at the ends
	values        []float64 // of the points met so far
	pending, done int       // points waiting to be computed; computed in all
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
	for pieces := 4; !m.Settled; pieces *= 2 {
		points := (placed(pieces)*(pieces+1) - 1) * 2 * len(w.inputs)
		if shares != nil && w.done+points > l.most {
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
		shares, m.Pieces, m.Evaluations = next, pieces, w.done
	}
	amounts := fromBinary(shares)
	return amounts, m, addUp("the changed inputs", amounts, s.whole, s.scale, wayDigits)
}

// way plans the evaluation in columns.
func (s *sharing) way() (*way, error) {
	w := &way{sharing: s, first: s.before.InexactFloat64(), last: s.after.InexactFloat64()}
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
		return nil, &betweenError{err.Error()}
	}
	w.columns = plan.Columns()
	return w, nil
}

// placed is the number of placements of the cuts. What the pieces are too coarse
// for falls with their square, what the placements are too few for falls with
// their number.
func placed(pieces int) int { return pieces * pieces / 4 }

// cut gives the pieces of the way cut into m, from a to b: for each placement of
// the cuts, each time a little further on, from 0 to 1.
func cut(m int) iter.Seq2[float64, float64] {
	return func(yield func(a, b float64) bool) {
		times := placed(m)
		for k := range times {
			a := 0.0
			for j := k; j < m*times; j += times {
				if b := float64(j) / float64(m*times); b > 0 {
					if !yield(a, b) {
						return
					}
					a = b
				}
			}
			if !yield(a, 1) {
				return
			}
		}
	}
}

// level cuts the way into m pieces, in many placements of the cuts, and gives the
// average of the shares. Every piece has two points for each input: its start;
// with the inputs changed one by one in ascending order; in descending order; its
// end.
func (w *way) level(ctx context.Context, m int) ([]float64, error) {
	n := len(w.inputs)
	w.values = w.values[:0]
	for a, b := range cut(m) {
		for point := range 2 * n {
			for i := range n {
				t := a
				if up := point < n; up && i < point || !up && i >= 2*n-1-point {
					t = b
				}
				w.columns.In(i)[w.pending] = w.input(i, t)
			}
			if w.pending++; w.pending == column.Block {
				if err := w.flush(ctx); err != nil {
					return nil, err
				}
			}
		}
	}
	if err := w.flush(ctx); err != nil {
		return nil, err
	}
	shares, values := make([]float64, n), w.values
	for a, b := range cut(m) {
		w.addPiece(shares, values[:2*n], a == 0, b == 1)
		values = values[2*n:]
	}
	for i := range shares {
		shares[i] /= 2 * float64(placed(m))
		if math.IsNaN(shares[i]) || math.IsInf(shares[i], 0) {
			return nil, &betweenError{"a figure has no value half-way"}
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

// flush computes the points that wait.
func (w *way) flush(ctx context.Context) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	if err := w.columns.Run(w.pending); err != nil {
		return &betweenError{err.Error()}
	}
	w.values = append(w.values, w.columns.Out(0)[:w.pending]...)
	w.done += w.pending
	w.pending = 0
	return nil
}

// addPiece adds to the shares what each input changes in a piece, in both orders.
// At the ends of the way the exact values stand in for the binary ones.
func (w *way) addPiece(shares, values []float64, first, last bool) {
	n, end := len(shares), len(values)-1
	if first {
		values[0] = w.first
	}
	if last {
		values[end] = w.last
	}
	for i := range n {
		after := values[end]
		if i+1 < n {
			after = values[i+1]
		}
		shares[i] += after - values[i]
	}
	before := values[0]
	for down := range n {
		shares[n-1-down] += values[n+down] - before
		before = values[n+down]
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
