package price

import (
	"kerfbook/costing/graph"
	"kerfbook/costing/trade"
)

// Point is a rule for prices people are willing to see, as figures: they have the
// form k × step + ending. Without an ending, None, they are multiples of the step.
type Point struct {
	Step, Ending graph.ID
	ruled        bool
}

// NewPoint writes a rule in a unit; without one prices are multiples of the smallest coin.
func NewPoint(s graph.Scope, unit graph.Unit, def *trade.PricePoint, coin graph.ID) Point {
	if def == nil {
		return Point{coin, graph.None, false}
	}
	step := s.Shared("point-step", "distance of price points", unit, def.Step, "price_point.step")
	return Point{step, s.Optional("point-ending", "ending of price points", unit, def.Ending, "price_point.ending"), true}
}

// PerPiece is a rule in money as one for the price of a piece.
func (p Point) PerPiece(s graph.Scope) Point {
	one := s.One(graph.Piece)
	if !p.ruled {
		return Point{s.Divide("smallest-coin", "smallest coin", p.Step, one), graph.None, false}
	}
	return Point{s.Divide("point-step", "distance of price points", p.Step, one), s.Divide("point-ending", "ending of price points", p.Ending, one), true}
}

// PointPrice names the figures of a price at a price point.
type PointPrice struct{ Price, Label, Above, Base string }

// Reach is the smallest price of the rule that is not below the one wanted. (P3) It is
// asked before the batch is made.
func (p Point) Reach(s graph.Scope, as PointPrice, wanted graph.ID) graph.ID {
	if p.Ending == graph.None {
		return s.Settle(s.Ceiling(as.Price, as.Label, wanted, p.Step), graph.Settled{Asked: true})
	}
	above := s.Subtract(as.Above, "price wanted less the ending", wanted, p.Ending)
	return s.Settle(s.Add(as.Price, as.Label, s.Ceiling(as.Base, "price point without its ending", above, p.Step), p.Ending), graph.Settled{Asked: true})
}
