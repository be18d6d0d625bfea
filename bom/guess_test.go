package bom_test

import (
	"testing"

	"kerfbook/bom"
)

// TestGuessed: the first operation that machines and the first by hand are guessed at, the first that checks, a
// further clamping where features are cut in it, and nothing else.
func TestGuessed(t *testing.T) {
	t.Parallel()
	part := bom.Part{Kind: bom.Made, FirstGuess: &bom.FirstGuess{}, Routing: []bom.Operation{
		{Number: 10, Kind: bom.Machining},
		{Number: 20, Kind: bom.Machining},
		{Number: 30, Kind: bom.Machining, Features: []bom.Feature{{Kind: bom.Drill}}},
		{Number: 40, Kind: bom.Machining, Features: []bom.Feature{{Kind: bom.Drill}}, HandlingMin: mm("1"), SetupMin: mm("20")},
		{Number: 50, Kind: bom.Manual},
		{Number: 60, Kind: bom.Manual},
		{Number: 70, Kind: bom.Inspection},
		{Number: 80, Kind: bom.Inspection},
	}}
	for i, want := range [][2]bool{{true, true}, {false, false}, {true, true}, {false, false}, {true, false}, {false, false}, {true, false}, {false, false}} {
		op := &part.Routing[i]
		if piece, setup := part.Guessed(op); piece != want[0] || setup != want[1] {
			t.Errorf("operation %d: time %t, set-up %t, want %v", op.Number, piece, setup, want)
		}
	}
	for _, features := range [][]bom.Feature{nil, {{Kind: bom.Drill}}} { // handling is beside the features, of which there must be some
		entered := bom.Part{Kind: bom.Made, FirstGuess: &bom.FirstGuess{FeaturesEntered: true}, Routing: []bom.Operation{{Number: 10, Kind: bom.Machining, Features: features, HandlingMin: mm("1")}}}
		if piece, _ := entered.Guessed(&entered.Routing[0]); piece != (features == nil) {
			t.Errorf("with %d features and handling: time %t", len(features), piece)
		}
	}
	part.Kind = bom.Bought
	if piece, setup := part.Guessed(&part.Routing[0]); piece || setup {
		t.Error("a bought part is guessed at")
	}
}
