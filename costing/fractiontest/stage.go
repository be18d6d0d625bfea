package fractiontest

import (
	"math/big"

	"kerfbook/bom"
)

// Or is the fraction a person typed, or what stands for no entry.
func Or(n *bom.Number, absent string) *big.Rat {
	if n == nil {
		return Rat(absent)
	}
	return n.Likely.Rat()
}

// boxes counts how many boxes of a size a quantity fills, the last one perhaps
// in part.
func boxes(quantity, size *big.Rat) *big.Rat {
	n, held := new(big.Rat), new(big.Rat)
	for held.Cmp(quantity) < 0 {
		held.Add(held, size)
		n.Add(n, Rat("1"))
	}
	return n
}

// Stage is one operation of a batch; the times are nil where the book gives none.
type Stage struct {
	Started, Setups, UnitsIn *big.Rat
	Piece, Load              *big.Rat
	Occupied, Attended       *big.Rat
}

// Walk follows a batch back from the good pieces through a routing; with is what
// attended time is multiplied by for the allowance.
func Walk(ops []bom.Operation, good, with *big.Rat) []Stage {
	out := make([]Stage, len(ops))
	for i := len(ops) - 1; i >= 0; i-- {
		out[i] = Begun(ops[i], good)
		out[i].Times(ops[i], with)
		good = out[i].UnitsIn
	}
	return out
}

// Begun is what an operation starts with, without its times.
func Begun(op bom.Operation, good *big.Rat) Stage {
	st := Stage{Started: Over(good, Or(op.Yield, "1")), Setups: Rat("0")}
	switch {
	case op.PiecesPerSetup != nil:
		st.Setups = boxes(st.Started, op.PiecesPerSetup.Likely.Rat())
	case st.Started.Sign() > 0:
		st.Setups = Rat("1")
	}
	st.UnitsIn = Plus(st.Started, Times(st.Setups, Typed(op.SetupPieces)))
	return st
}

// Times computes M14 to M16 from the words of the formulas, minute by minute. with
// is what attended time is multiplied by for the allowance.
func (st *Stage) Times(op bom.Operation, with *big.Rat) {
	st.Piece = sum(op.PieceMin, op.CuttingMin, op.PositioningMin, op.WornEdgeMin, op.HandlingMin)
	if op.MinPerDM2 != nil {
		st.Piece = Plus(orNothing(st.Piece), Times(op.MinPerDM2.Likely.Rat(), op.AreaDM2.Likely.Rat()))
	}
	for _, c := range op.Characteristics {
		st.Piece = Plus(orNothing(st.Piece), Times(c.MeasureMin.Likely.Rat(), Or(c.SampledShare, "1")))
	}
	st.Load = sum(op.LoadMin, op.ToolChangeMin, op.LoadHandlingMin, op.ProbingMin)
	each := Typed(op.SetupMin)
	if op.SetupContainsAllowance {
		each = Over(each, with)
	}
	setup, run := Times(st.Setups, each), new(big.Rat)
	if st.Piece != nil {
		st.Piece = Times(st.Piece, Or(op.SampledShare, "1"))
		run = Times(st.UnitsIn, st.Piece)
		if op.Learning != nil {
			run = learnt(op.Learning, st.Piece, st.UnitsIn)
		}
	}
	if st.Load != nil {
		run = Plus(run, Times(boxes(st.UnitsIn, Or(op.PiecesPerLoad, "1")), st.Load))
	}
	st.Occupied = Plus(setup, run)
	st.Attended = Times(Plus(setup, Times(run, Or(op.AttendedShare, "1"))), with)
}

func orNothing(r *big.Rat) *big.Rat {
	if r == nil {
		return new(big.Rat)
	}
	return r
}

// sum adds the figures that are given; nil for none.
func sum(list ...*bom.Number) (total *big.Rat) {
	for _, n := range list {
		if n != nil {
			total = Plus(orNothing(total), n.Likely.Rat())
		}
	}
	return total
}

// learnt is what units take by the unit model, with the time entered as the average
// of the first ones; or the least time by piece, if that is more.
func learnt(l *bom.Learning, piece, units *big.Rat) *big.Rat {
	if l.Model != bom.UnitModel || l.AverageAt == nil || l.MadeBefore != nil {
		panic("only the unit model with a stated average is worked out here")
	}
	n, rate := l.AverageAt.Likely.Rat(), l.Rate.Likely.Rat()
	out, least := Times(Over(Times(piece, n), practised(rate, n)), practised(rate, units)), Times(units, Typed(l.FloorMin))
	if out.Cmp(least) < 0 {
		return least
	}
	return out
}

// practised is what units take by the unit model, where unit k takes k^b of the first:
// every unit for itself, and a fraction of the next one at the end.
func practised(rate, units *big.Rat) *big.Rat {
	b, total, k := Slope(rate), Float(new(big.Rat)), int64(1)
	for ; units.Cmp(big.NewRat(k, 1)) >= 0; k++ {
		total.Add(total, Raised(k, b))
	}
	rest := Float(Minus(units, big.NewRat(k-1, 1)))
	total.Add(total, rest.Mul(rest, Raised(k, b)))
	out, _ := total.Rat(nil)
	return out
}
