package feature

import (
	"testing"

	"kerfbook/bom"
)

// TestEveryKindIsCut holds the table to the words of the book, both ways.
func TestEveryKindIsCut(t *testing.T) {
	t.Parallel()
	words := bom.FeatureKind("").Values()
	for _, word := range words {
		kind := bom.FeatureKind(word)
		if _, rated := handRates[kind]; kind.ByHand() != rated || kind.ByHand() == (kinds[kind].cut != nil) {
			t.Errorf("either a tool cuts a %s, or a rate says how long it takes by hand", word)
		}
	}
	if len(kinds)+len(handRates) != len(words) {
		t.Errorf("%d kinds are cut and %d done by hand, and the book has %d words", len(kinds), len(handRates), len(words))
	}
}
