package simulate

import (
	"errors"
	"math"
	"strings"
	"testing"

	"kerfbook/costing/graph/exact"
)

// TestRefusals: every mistake names its field and what would be right, at once.
func TestRefusals(t *testing.T) {
	t.Parallel()
	g, total, _ := lines(t)
	precise := func(p, relative float64) Request {
		return Request{Draws: 1, Precision: &Precision{P: p, Relative: relative}}
	}
	for field, requests := range map[string][]Request{
		"draws":              {{}, {Draws: -5}, {Draws: 1_000_000_000}, {Draws: 10_000_000, Outputs: ids(total, total, total)}},
		"precision.p":        {precise(0, 0.1), precise(1, 0.1), precise(math.NaN(), 0.1)},
		"precision.relative": {precise(0.5, 0), precise(0.5, -1), precise(0.5, math.NaN()), precise(0.5, math.Inf(1))},
	} {
		for _, r := range requests {
			if r.Outputs == nil {
				r.Outputs = ids(total)
			}
			_, err := Run(t.Context(), exact.New(g), r, silent)
			var refused *RequestError
			if !errors.As(err, &refused) || refused.Field != field || refused.Remedy == "" {
				t.Errorf("%+v: %v", r, err)
			}
		}
	}
	_, err := Shares(t.Context(), exact.New(g), total, Request{}, silent)
	var refused *RequestError
	if !errors.As(err, &refused) || refused.Field != "draws" {
		t.Errorf("shares without draws: %v", err)
	}
}

// TestUndefinedOutput has nothing to be drawn.
func TestUndefinedOutput(t *testing.T) {
	t.Parallel()
	w := write(t)
	x := w.triangle("x", "-1", "0", "1")
	out := w.Divide("out", "out", w.constant("one", "1"), x)
	g := w.done()
	_, err := Run(t.Context(), exact.New(g), Request{Outputs: ids(x, out), Draws: 1}, silent)
	var refused *RequestError
	if !errors.As(err, &refused) || refused.Field != "outputs[1]" || !strings.Contains(refused.Detail, "out") {
		t.Errorf("error %v", err)
	}
}

func TestQuantileOfAnyChance(t *testing.T) {
	t.Parallel()
	g, total, _ := lines(t)
	o := run(t, g, Request{Outputs: ids(total), Draws: 1}).Outputs[0]
	low, high := o.Ends()
	for p, want := range map[float64]float64{0: low, 1: high, 0.8: o.Quantiles[3].Value} {
		if q := o.Quantile(p); q.Value != want {
			t.Errorf("P%v is %v, want %v", p, q, want)
		}
	}
	if share := o.AtMost(math.NaN()); !math.IsNaN(share.Value) {
		t.Errorf("chance to stay within no number is %v", share)
	}
	if o.AtMost(math.Inf(1)).Value != 1 || o.AtMost(math.Inf(-1)).Value != 0 {
		t.Error("infinite bounds")
	}
}
