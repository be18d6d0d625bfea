package study

import (
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
)

// TestCountsAreNoPercentages: what has no unit is a number; only what is known to
// be a share is in per cent.
func TestCountsAreNoPercentages(t *testing.T) {
	t.Parallel()
	slots := mannerOf(answer.Figure{Key: "part/HS-010/op/30/feature/FINS/slots"})
	if text := slots.text(decimal.New(19, 0)); text != "19" || slots.behind("slots") != "slots" {
		t.Errorf("%q, %q", text, slots.behind("slots"))
	}
	margin := mannerOf(answer.Figure{Key: "variant/glow/price/direct/margin"})
	if text := margin.text(decimal.New(36, -2)); text != "36.0 %" {
		t.Error(text)
	}
}
