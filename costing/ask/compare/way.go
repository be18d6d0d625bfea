package compare

import (
	"context"
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

// firstPieces is the number of pieces the way is cut into at first.
const firstPieces = 4

// along is the rule of Aumann and Shapley: the pieces are doubled until no share
// moves by more than the tolerance, or the evaluations are used up.
func (s *sharing) along(ctx context.Context, o Options) ([]decimal.Decimal, Method, error) {
	w, err := s.way()
	if err != nil {
		return nil, Method{}, err
	}
	m := Method{Rule: AumannShapley, Tolerance: o.Tolerance}
	var shares []float64
	for pieces := firstPieces; !m.Settled; pieces *= 2 {
		if shares != nil && w.done+w.points(pieces) > o.Most {
			break
		}
		next, err := w.level(ctx, pieces)
		if err != nil {
			return nil, m, err
		}
		if shares != nil {
			m.Moved = moved(shares, next, w.last-w.first)
			m.Settled = m.Moved <= o.Tolerance
		}
		shares, m.Pieces, m.Placements, m.Evaluations = next, pieces, placed(pieces), w.done
	}
	amounts := fromBinary(shares)
	return amounts, m, settle("the changed inputs", amounts, s.whole, s.scale, wayDigits)
}

// wayDigits is how exact the sum of binary shares must be before it is settled.
const wayDigits = 9

// way plans the evaluation in columns.
func (s *sharing) way() (*way, error) {
	w := &way{sharing: s, first: s.before.InexactFloat64(), last: s.after.InexactFloat64()}
	o := column.Options{Outputs: []graph.ID{s.target}, Hold: map[graph.ID]float64{}}
	for id, v := range s.held {
		o.Hold[id] = v.InexactFloat64()
	}
	for _, in := range s.inputs {
		o.Vary = append(o.Vary, in.at)
		w.from, w.to = append(w.from, in.before.InexactFloat64()), append(w.to, in.after.InexactFloat64())
	}
	plan, err := column.New(s.g, o)
	if err != nil {
		return nil, &betweenError{err.Error()}
	}
	w.columns = plan.Columns()
	return w, nil
}

// points is the number of points of a level.
func (w *way) points(pieces int) int {
	return (placed(pieces)*(pieces+1) - 1) * w.perPiece()
}

// placed is the number of placements of the cuts. What the pieces are too coarse
// for falls with their square, what the placements are too few for falls with
// their number.
func placed(pieces int) int { return pieces * pieces / 4 }

// perPiece is the number of points of one piece: its two ends, and what lies
// between them going up and going down.
func (w *way) perPiece() int { return 2 * len(w.from) }

// level cuts the way into so many pieces, in many placements of the cuts, and gives
// the average of the shares.
func (w *way) level(ctx context.Context, pieces int) ([]float64, error) {
	cuts := placements(pieces, placed(pieces))
	w.values = w.values[:0]
	for _, row := range cuts {
		for j := 1; j < len(row); j++ {
			if err := w.piece(ctx, row[j-1], row[j]); err != nil {
				return nil, err
			}
		}
	}
	if err := w.flush(ctx); err != nil {
		return nil, err
	}
	shares, at := make([]float64, len(w.from)), 0
	for _, row := range cuts {
		for j := 1; j < len(row); j++ {
			w.addPiece(shares, w.values[at:at+w.perPiece()], row[j-1] == 0, row[j] == 1)
			at += w.perPiece()
		}
	}
	for i := range shares {
		shares[i] /= 2 * float64(len(cuts))
		if math.IsNaN(shares[i]) || math.IsInf(shares[i], 0) {
			return nil, &betweenError{"a figure has no value half-way"}
		}
	}
	return shares, nil
}

// placements gives the cuts of m pieces, each time a little further on; the ends 0
// and 1 are always cuts.
func placements(m, times int) [][]float64 {
	out := make([][]float64, times)
	for k := range out {
		out[k] = append(out[k], 0)
		for j := k; j < m*times; j += times {
			if j > 0 {
				out[k] = append(out[k], float64(j)/float64(m*times))
			}
		}
		out[k] = append(out[k], 1)
	}
	return out
}

// piece adds the points of one piece of the way: its start; with the inputs
// changed one by one in ascending order; in descending order; its end.
func (w *way) piece(ctx context.Context, a, b float64) error {
	n := len(w.from)
	for up := range n {
		if err := w.point(ctx, a, b, func(i int) bool { return i < up }); err != nil {
			return err
		}
	}
	for down := 1; down <= n; down++ {
		if err := w.point(ctx, a, b, func(i int) bool { return i >= n-down }); err != nil {
			return err
		}
	}
	return nil
}

// point adds one point: each input as at b where it has been changed, else as at a.
func (w *way) point(ctx context.Context, a, b float64, changed func(i int) bool) error {
	for i := range w.from {
		t := a
		if changed(i) {
			t = b
		}
		w.columns.In(i)[w.pending] = w.input(i, t)
	}
	if w.pending++; w.pending == column.Block {
		return w.flush(ctx)
	}
	return nil
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
	n := len(w.from)
	end := len(values) - 1
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
		move = math.Max(move, math.Abs(is[i]-was[i]))
		most = math.Max(most, math.Abs(is[i]))
	}
	if move == 0 {
		return 0
	}
	return move / most
}
