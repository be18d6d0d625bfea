package quote_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/papers/quote"
	"kerfbook/costing/rates"
)

// TestAQuoteOfParts: parts by themselves, at a margin asked, to a destination of the book
// and to one it says nothing of, with channels and without.
func TestAQuoteOfParts(t *testing.T) {
	t.Parallel()
	for _, to := range []string{"DE", "CH", "NL", "US"} {
		for _, channels := range []bool{true, false} {
			b := demo(t)
			if !channels {
				b.Channels, b.Prices = nil, nil
				for i := range b.Destinations {
					b.Destinations[i].Channel = ""
				}
			}
			for i := range b.Parts {
				b.Parts[i].HSCode = "761699"
			}
			req := request(to)
			req.Delivery.Term, req.Customer.TaxNumber, req.Buyer = "EXW", "DE123", "business"
			req.Lines = []quote.RequestLine{{Part: "HS-010", Margin: "0.4", Quantity: "20", Batch: "45"}, {Part: "SH-POM", Margin: "0.35", Quantity: "10"}}
			d, err := quote.Build(b, req, day)
			if err != nil {
				t.Fatalf("%s, channels %v: %v", to, channels, err)
			}
			addsUp(t, d)
			if l := d.Lines[0]; l.Part != "HS-010" || l.Name != "heat sink" || l.Product != "" || l.HSCode != "761699" || l.Origin != "PT" || len(l.Choices) != 0 {
				t.Errorf("%s: the line is %+v", to, l)
			}
			again, _, err := quote.Open(packed(t, d), nil)
			if err != nil || again.Lines[0].Part != "HS-010" || len(again.Cautions) != 1 {
				t.Errorf("%s: opened again: %v", to, err)
			}
			basis, err := again.Basis()
			if err != nil || !basis.Lines[0].PieceCost.Known() || !basis.Lines[1].BatchCost.Known() {
				t.Errorf("%s: what it rests on: %v", to, err)
			}
		}
	}
}

func TestFaultsInAQuoteOfParts(t *testing.T) {
	t.Parallel()
	right := quote.RequestLine{Part: "HS-010", Margin: "0.4", Quantity: "20"}
	for says, change := range map[string]func(*quote.Request){
		"no part \"NOBODY\"":            func(r *quote.Request) { r.Lines[0].Part = "NOBODY" },
		"or a product with its trim":    func(r *quote.Request) { r.Lines[0].Trim = "plain" },
		"a share from 0 to below 1":     func(r *quote.Request) { r.Lines[0].Margin = "40" },
		"offers the same variant":       func(r *quote.Request) { r.Lines = append(r.Lines, right) },
		"no channel has a price":        func(r *quote.Request) { r.Lines[0].Margin, r.Destination = "", "NL" },
		"trims have theirs under price": func(r *quote.Request) { r.Lines[0] = quote.RequestLine{Trim: "plain", Margin: "0.4", Quantity: "20"} },
		"does not sell to \"XX\"":       func(r *quote.Request) { r.Destination = "XX" },
		"does not sell to \"NL\"": func(r *quote.Request) {
			r.Lines, r.Destination = append(r.Lines, quote.RequestLine{Trim: "plain", Quantity: "2"}), "NL"
		},
	} {
		req := request("DE")
		req.Lines = []quote.RequestLine{right}
		change(&req)
		var invalid *quote.InvalidError
		if _, err := quote.Build(demo(t), req, day); !errors.As(err, &invalid) || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v", says, err)
		}
	}
}

// TestGuessedPartInAQuote: the revision of a part that the program numbered, and a share of
// a person's time that is named only where an hour of the person costs something.
func TestGuessedPartInAQuote(t *testing.T) {
	t.Parallel()
	for rate, named := range map[int64]bool{0: false, 40: true} {
		b := demo(t)
		labour, hour, length, diameter := bom.Whole(rate), bom.Whole(58), bom.Whole(22), bom.Whole(20)
		b.WorkCentres = append(b.WorkCentres, rates.WorkCentre{ID: "OWN", Name: "own lathe", MachineRatePerH: &hour, LabourRatePerH: &labour})
		part := bom.Part{Number: "KN-20-KNOB", Name: "KN-20 knob", Kind: bom.Made, Revision: "B", Finished: &bom.Envelope{LengthMM: &length, DiameterMM: &diameter},
			FirstGuess: &bom.FirstGuess{Way: bom.Turned, Material: "aluminium-6082", WorkCentre: "OWN"}}
		b.Parts = append(b.Parts, part)
		req := request("PT")
		req.Lines, req.Delivery.Term = []quote.RequestLine{{Part: string(part.Number), Margin: "0.4", Quantity: "20"}}, "FCA"
		d := buildFrom(t, b, req)
		if got := slices.ContainsFunc(d.Unverified, func(r quote.UnverifiedRow) bool { return strings.Contains(r.Where, "a person is tied") }); got != named || len(d.Unverified) == 0 {
			t.Errorf("labour at %d: %v", rate, d.Unverified)
		}
		if said := d.Lines[0].Described; !strings.HasSuffix(said, ", revision B") || strings.Contains(said, "KN-20") {
			t.Errorf("described as %s", said)
		}
		b.Parts[len(b.Parts)-1].Name = "knob"
		if said := buildFrom(t, b, req).Lines[0].Described; !strings.HasSuffix(said, ", number KN-20-KNOB, revision B") {
			t.Errorf("described as %s", said)
		}
	}
}

// TestAQuoteDescribesWhatIsCut: depth of threads and holes, the width of a knurl and broken edges stand on the paper, a cone is no edge, and
// the hole of a thread is part of it as far as its core hole may be off.
func TestAQuoteDescribesWhatIsCut(t *testing.T) {
	t.Parallel()
	n := func(text string) *bom.Number { n := bom.Exactly(decimal.RequireFromString(text)); return &n }
	thread := bom.Feature{Kind: bom.Tap, DiameterMM: n("6"), PitchMM: n("1"), DepthMM: n("12")}
	for want, f := range map[string]bom.Feature{
		"thread M6 12 mm deep":     thread,
		"thread M6 9 mm long":      {Kind: bom.ThreadTurn, DiameterMM: n("6"), PitchMM: n("1"), LengthMM: n("9")},
		"edges broken 0.3 mm":      {Kind: bom.TurnProfile, DiameterMM: n("20"), ToDiameterMM: n("19.4"), LengthMM: n("0.3")},
		"edges broken 0.5 mm":      {Kind: bom.Chamfer, PathMM: n("80"), WidthMM: n("0.5")},
		"2 × hole Ø5.2 15 mm deep": {Kind: bom.Drill, DiameterMM: n("5.2"), DepthMM: n("15"), Count: n("2")},
		"reamed hole Ø6 9 mm deep": {Kind: bom.Ream, DiameterMM: n("6"), DepthMM: n("9")},
		"hole Ø7 through 10 mm":    {Kind: bom.Drill, DiameterMM: n("7"), DepthMM: n("10"), Through: true},
		"knurled 12 mm wide":       {Kind: bom.Knurl, DiameterMM: n("24"), LengthMM: n("12")},
	} {
		if said := quote.CutWords(&f, []bom.Feature{thread}); said != want {
			t.Errorf("said is %q, want %q", said, want)
		}
	}
	for _, silent := range []bom.Feature{{Kind: bom.Drill, DiameterMM: n("5.1"), DepthMM: n("15")}, {Kind: bom.TurnProfile, DiameterMM: n("20"), ToDiameterMM: n("18"), LengthMM: n("5")}} {
		if said := quote.CutWords(&silent, []bom.Feature{thread}); said != "" {
			t.Errorf("%s: said is %q", silent.Kind, said)
		}
	}
}
