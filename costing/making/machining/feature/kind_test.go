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
		if kinds[bom.FeatureKind(word)].cut == nil {
			t.Errorf("nothing says how a %s is cut", word)
		}
	}
	if len(kinds) != len(words) {
		t.Errorf("%d kinds are cut, and the book has %d words", len(kinds), len(words))
	}
}
