package costbook_test

import (
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/graphtest"
	"kerfbook/costing/making/routing"
	"kerfbook/costing/papers/recalctest"
)

// TestLearningRecalculates: the learning curves in a spreadsheet give the exact
// times, for a batch of nothing, of few units, which are added up, and of many,
// which the formula is for.
func TestLearningRecalculates(t *testing.T) {
	t.Parallel()
	one, rate, made := bom.Whole(1), bom.Exactly(decimal.New(83, -2)), bom.Whole(3)
	operation := func(number int, model bom.LearningModel, before, at *bom.Number) bom.Operation {
		return bom.Operation{Number: number, Kind: bom.Manual, PieceMin: &one, Learning: &bom.Learning{Model: model, Rate: rate, MadeBefore: before, AverageAt: at}}
	}
	operations := []bom.Operation{operation(10, bom.UnitModel, nil, nil), operation(20, bom.UnitModel, &made, &made),
		operation(30, bom.AverageModel, nil, nil), operation(40, bom.AverageModel, &made, &made)}
	centre := func(bom.ID) routing.Centre {
		return routing.Centre{Allowance: graph.None}
	}
	var graphs []*graph.Graph
	for _, good := range []string{"0", "9.25", "15", "16", "250"} {
		b := graph.NewBuilder(graph.Limits{})
		s := b.Root()
		routing.Build(s, operations, s.Input("good", "good pieces", graph.Piece, decimal.RequireFromString(good)), routing.Shop{Centre: centre})
		graphs = append(graphs, graphtest.Built(t, b))
	}
	for i, figures := range recalctest.Graphs(t, graphs...) {
		recalctest.Compare(t, graphs[i], figures)
	}
}
