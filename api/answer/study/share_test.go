package study

import (
	"strconv"
	"strings"
	"testing"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/costing/ask/simulate"
)

// TestOnlyKnownSharesAreShares: a number without a unit is a share by what it is,
// not for want of a unit.
func TestOnlyKnownSharesAreShares(t *testing.T) {
	t.Parallel()
	for key, want := range map[string]bool{
		"variant/glow/price/direct/margin":                    true,
		"price/LAMP._.direct/margin-wanted":                   true,
		"variant/glow/price/dealer/markup":                    true,
		"destination/DE/glow/buyer-clears/margin":             true,
		"part/HS-010/op/20/yield":                             true,
		"part/HS-010/rolled-yield":                            true,
		"part/HS-010/op/30/feature/FINS/slots":                false,
		"part/HS-010/stock-needed":                            false,
		"part/HS-010/op/20/setups-exact":                      false,
		"part/HS-010/buy-to-fly":                              false,
		"fixed/pi":                                            false,
		"part/HS-010/op/30/feature/FINS/chosen/margin-cutter": false,
	} {
		if got := (answer.Figure{Key: key}).IsShare(); got != want {
			t.Errorf("%s is a share: %v", key, got)
		}
	}
	if (answer.Figure{Key: "variant/glow/price/direct/margin", Unit: "EUR/piece"}).IsShare() {
		t.Error("an amount of money is taken for a share")
	}
}

// TestBatchOfAHalf: a batch has whole pieces, whichever way it is asked for.
func TestBatchOfAHalf(t *testing.T) {
	t.Parallel()
	b := demoWith(t)
	half := batchOf(t, b, "glow=2")
	half.Mix[0].Quantity.Likely = decimalOf(t, "2.5")
	changed := batchOf(t, b, "glow=2")
	changed.Changes = []change.Change{{Key: "mix/glow", Value: "2.5"}}
	for name, one := range map[string]struct {
		batch   change.Batch
		pointer string
	}{"mix": {half, "/mix/0/quantity"}, "change": {changed, "/changes/0/value"}} {
		_, spread := NewSpreading(t.Context(), change.OriginOf(answer.Of(b)), SpreadRequest{Batch: one.batch, Draws: 1})
		wantFault(t, name+" of a spread", spread, one.pointer)
		side := DifferenceSide{Batch: batchOf(t, b, "glow=2")}
		_, difference := Between(t.Context(), change.OriginOf(answer.Of(b)), DifferenceRequest{Before: side, After: DifferenceSide{Batch: one.batch}}, nil)
		wantFault(t, name+" of a comparison", difference, "/after"+one.pointer)
	}
	_, curve := Curves(t.Context(), change.OriginOf(answer.Of(b)), CurveRequest{Day: "2026-11-25", From: 2, To: 3, Curves: []Selection{{Trim: "glow", Changes: changed.Changes}}})
	wantFault(t, "change of a curve", curve, "/curves/0/changes/0/value")
}

// wantFault looks for the one fault of a batch of two and a half pieces.
func wantFault(t *testing.T, name string, err error, pointer string) {
	t.Helper()
	known, ok := err.(*answer.Error)
	if !ok || len(known.Fields) != 1 || known.Fields[0].Pointer != pointer || !strings.Contains(known.Fields[0].Message, "2.5 is no whole number of pieces") {
		t.Errorf("%s: %v", name, err)
	}
}

// TestFixedRangeIsHeld: a range that is given a value is told among what is held.
func TestFixedRangeIsHeld(t *testing.T) {
	t.Parallel()
	b, req := glow(t)
	req.Draws = 1
	const key = "cutting/copper.slitting_saw.carbide/speed"
	req.Changes = []change.Change{{Key: key, Value: "140"}, {Key: "work-centre/MILL/labour-rate", Value: "27"}}
	out := mustSpread(t, b, req)
	fixed := 0
	for _, h := range out.Held {
		if !strings.Contains(h.Choice, "no longer a range") {
			continue
		}
		fixed++
		if h.Figure.Key != key || h.Choice != "fixed at 140 m/min, no longer a range" {
			t.Errorf("held: %+v", h)
		}
	}
	if fixed != 1 {
		t.Errorf("%d ranges are told to be fixed, want 1", fixed)
	}
}

// TestOneInputHasAllOfTheVariance: with a single input there is nothing to
// estimate.
func TestOneInputHasAllOfTheVariance(t *testing.T) {
	t.Parallel()
	b, req := glow(t)
	req.Draws, req.Movers = 1, "part/HS-010/op/40/piece-time"
	req.Figures = []string{req.Movers}
	m := mustSpread(t, b, req).Movers
	if len(m.Shares) != 1 || m.Shares[0].First != certain("1") || m.Shares[0].Total != certain("1") || m.ShareDraws != 0 || m.Shares[0].NearZero {
		t.Errorf("%+v from %d draws", m.Shares, m.ShareDraws)
	}
}

// TestPrecisionIsOnlyToldIfAsked.
func TestPrecisionIsOnlyToldIfAsked(t *testing.T) {
	t.Parallel()
	b, req := glow(t)
	req.Draws = 1
	if out := mustSpread(t, b, req); out.PrecisionReached != nil {
		t.Error("precision is told of and none was asked for")
	}
	req.Precision = &SpreadPrecision{Quantile: decimalOf(t, "0.8"), Relative: decimalOf(t, "0.5")}
	if out := mustSpread(t, b, req); out.PrecisionReached == nil || !*out.PrecisionReached {
		t.Error("a precision that is easily reached is not")
	}
}

// TestNeededPriceIsNamed: what is drawn is not the price asked.
func TestNeededPriceIsNamed(t *testing.T) {
	t.Parallel()
	b, req := glow(t)
	req.Draws = 1
	named := 0
	for _, f := range mustSpread(t, b, req).Figures {
		if strings.HasSuffix(f.Figure.Key, "/gross-wanted") {
			named++
			if f.Figure.Label != "price needed for the margin wanted" {
				t.Errorf("%s is called %s", f.Figure.Key, f.Figure.Label)
			}
		}
	}
	if named == 0 {
		t.Error("no price is drawn")
	}
}

// TestNearKeys finds what was meant deep in a part.
func TestNearKeys(t *testing.T) {
	t.Parallel()
	b := demoWith(t)
	batch := batchOf(t, b, "glow=100")
	sheet, err := answer.Of(b).Sheet(t.Context(), batch.Mix, batch.Day)
	if err != nil {
		t.Fatal(err)
	}
	for wrong, want := range map[string]string{
		"part/HS-010/op/40/piece-timee": "part/HS-010/op/40/piece-time",
		"part/HS-01/op/40/piece-time":   "part/HS-010/op/40/piece-time",
		"variant/glow/full":             "variant/glow/each/full",
	} {
		_, err := sheet.Explain(wrong, 0)
		unknown, ok := err.(*answer.UnknownKeyError)
		if !ok || len(unknown.Similar) == 0 || unknown.Similar[0] != want {
			t.Errorf("%s: %v, want %s first", wrong, err, want)
		}
	}
	if _, err := sheet.Explain("zzzz", 0); err == nil || strings.Contains(err.Error(), "similar") {
		t.Errorf("%v", err)
	}
}

// TestDrawLimitIsTheEngines: the words have the numbers of the engine.
func TestDrawLimitIsTheEngines(t *testing.T) {
	t.Parallel()
	digits := strings.ReplaceAll(DrawLimit, ",", "")
	for _, n := range []int{simulate.MaxDraws, simulate.MaxFigures} {
		if !strings.Contains(digits, strconv.Itoa(n)+" draws") {
			t.Errorf("%d is not told: %s", n, DrawLimit)
		}
	}
}
