package quote_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book/check"
	"kerfbook/costing/papers/quote"
)

func dec(text string) decimal.Decimal { return decimal.RequireFromString(text) }

// How the pieces are packed is said, and several share a carton.
func TestPiecesShareACarton(t *testing.T) {
	t.Parallel()
	b, req := demo(t), request("DE")
	req.Lines = []quote.RequestLine{{Trim: "glow", Quantity: "75"}}
	said := func() (note, freight string) {
		d := buildFrom(t, b, req)
		basis, err := d.Basis()
		if err != nil || len(basis.Lines[0].Notes) != 2 {
			t.Fatalf("%+v, %v", basis, err)
		}
		return basis.Lines[0].Notes[1], d.Totals.Delivery.Value
	}
	note, alone := said()
	if !strings.Contains(note, "75 parcels") || !strings.Contains(note, "has no carton") {
		t.Error(note)
	}
	b.Products[0].Carton = &bom.Carton{Pieces: bom.Whole(6), LengthMM: bom.Whole(860), WidthMM: bom.Whole(500), HeightMM: bom.Whole(340), EmptyG: bom.Whole(900)}
	note, together := said()
	if note != "They go in 12 full cartons of 6 and a carton with 3." || !dec(together).LessThan(dec(alone)) {
		t.Errorf("%s: %s, alone %s", note, together, alone)
	}
	req.Lines[0].Quantity = "73"
	if note, _ = said(); note != "They go in 12 full cartons of 6 and a parcel of one." {
		t.Error(note)
	}
	b.Products[0].Parcel = nil
	if findings := check.Book(b, nil, day); !strings.Contains(fmt.Sprint(findings), "a carton holds packed pieces") {
		t.Errorf("a carton without a parcel: %v", findings)
	}
}

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
