package quote_test

import (
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/quote"
)

func dec(text string) decimal.Decimal { return decimal.RequireFromString(text) }

// The seller sees the batch that a price rests on and what it costs in all.
func TestBasisOfTheLines(t *testing.T) {
	t.Parallel()
	req := request("PT")
	req.Channel = "dealer"
	req.Lines = append(req.Lines, quote.RequestLine{Trim: "plain", Quantity: "30", Batch: "20"})
	d := build(t, req)
	b, err := d.Basis()
	if err != nil || len(b.Lines) != 3 || len(b.Notes) != 1 || !strings.Contains(b.Notes[0], "taken as a business") {
		t.Fatalf("%+v, %v", b, err)
	}
	for i, want := range []struct{ batch, note string }{
		{"250", "only if 250 are made at once; 50 of them"}, {"37", "is itself the batch: the price is that of 37"}, {"20", "More are asked for than the batch"},
	} {
		l := b.Lines[i]
		piece, batch, n := dec(l.PieceCost.Value), dec(l.BatchCost.Value), dec(l.Batch.Value)
		if l.Batch.Value != want.batch || !strings.Contains(l.Notes[0], want.note) || !piece.IsPositive() || !batch.Sub(piece.Mul(n)).Abs().LessThan(dec("0.000001")) {
			t.Errorf("%+v", l)
		}
	}
}
