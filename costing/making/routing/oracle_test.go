package routing_test

import (
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/making/routing"
)

// shop is a routing built as a graph, with its good quantity open.
type shop struct {
	ft.Figures
	good graph.ID
	flow routing.Flow
}

// newShop builds a routing at a work centre; no allowance is none.
func newShop(t *testing.T, ops []bom.Operation, allowance *bom.Number) *shop {
	t.Helper()
	return shopAt(t, ops, allowance, false)
}

// shopAt builds a routing at a work centre with an allowance of work time or of
// shift time.
func shopAt(t *testing.T, ops []bom.Operation, allowance *bom.Number, ofShift bool) *shop {
	t.Helper()
	b := graph.NewBuilder(graph.Limits{})
	s := b.Root().From(graph.Source{Where: "test", Path: "part"})
	w := &shop{good: s.Input("good", "good pieces", graph.Piece, decimal.New(1, 0))}
	c := routing.Centre{Allowance: graph.None, OfShift: ofShift}
	if allowance != nil {
		c.Allowance = s.Number("allowance", "allowance", graph.Plain, *allowance, "allowance")
	}
	w.flow = routing.Build(s, ops, w.good, routing.Shop{Centre: func(bom.ID) routing.Centre { return c }})
	w.Figures = ft.Of(t, b)
	return w
}

// at evaluates for a number of good pieces.
func (w *shop) at(good string) *exact.Values {
	w.T.Helper()
	return w.At(exact.Pins{w.good: ft.Dec(good)})
}

// draw makes random routings.
type draw struct{ ft.Draw }

func (d draw) operation(number int) bom.Operation {
	op := bom.Operation{Number: number, Kind: bom.Machining, WorkCentre: "mill",
		Yield: d.Maybe(400, 3), PiecesPerSetup: d.Maybe(90, 0), PiecesPerLoad: d.Maybe(12, 0),
		AttendedShare: d.Maybe(100, 2), SetupPieces: d.Maybe(30, 1), SetupMin: d.Maybe(900, 1),
		SetupContainsAllowance: d.IntN(2) == 0, SampledShare: d.Maybe(100, 2)}
	if op.Yield != nil {
		op.Yield = ft.Num(decimal.New(1, 0).Sub(op.Yield.Likely.Div(decimal.New(2, 0))).String())
	}
	if d.IntN(4) == 0 {
		op.Kind, op.SampledShare, op.LoadMin = bom.Inspection, nil, d.Maybe(500, 2)
		op.Characteristics = []bom.Characteristic{{Name: "Rz of the face", MeasureMin: *ft.Num("1.25"), SampledShare: d.Maybe(100, 2)},
			{Name: "Pull of the magnet", MeasureMin: *ft.Num("0.4")}}
		return op
	}
	if op.MinPerDM2 = d.Maybe(300, 2); op.MinPerDM2 != nil {
		op.AreaDM2 = ft.Num("4.15")
		op.CuttingMin, op.LoadMin = d.Maybe(900, 2), d.Maybe(500, 2)
		return op
	}
	if d.IntN(2) == 0 {
		op.PieceMin, op.LoadMin = d.Maybe(2000, 2), d.Maybe(500, 2)
		return op
	}
	op.CuttingMin, op.PositioningMin, op.WornEdgeMin, op.HandlingMin = d.Maybe(900, 2), d.Maybe(99, 2), d.Maybe(99, 3), d.Maybe(99, 1)
	op.ToolChangeMin, op.LoadHandlingMin, op.ProbingMin = d.Maybe(99, 2), d.Maybe(99, 2), d.Maybe(99, 2)
	return op
}

func (d draw) routing() []bom.Operation {
	ops := make([]bom.Operation, 1+d.IntN(5))
	for i := range ops {
		ops[i] = d.operation(10 * (i + 1))
		if d.IntN(6) == 0 {
			ops[i].Kind, ops[i].SetupMin = bom.Outside, nil
		}
	}
	return ops
}
