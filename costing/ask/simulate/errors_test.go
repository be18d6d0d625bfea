package simulate

import (
	"context"
	"errors"
	"math"
	"testing"

	"kerfbook/costing/graph/exact"
)

// TestRefusals: every mistake names its field and what would be right, at once.
func TestRefusals(t *testing.T) {
	t.Parallel()
	g, total, lines := lines(t)
	for field, change := range map[string]func(*Request){
		"draws":              func(r *Request) { r.Draws = 0 },
		"precision.p":        func(r *Request) { r.Precision = &Precision{P: 1, Relative: 0.1} },
		"precision.relative": func(r *Request) { r.Precision = &Precision{P: 0.5} },
		"correlations[0]":    func(r *Request) { r.Correlations = []Correlation{{A: lines[0], B: lines[0]}} },
	} {
		r := Request{Outputs: ids(total), Draws: 1000}
		change(&r)
		_, err := Run(context.Background(), g, r, silent)
		var refused *RequestError
		if !errors.As(err, &refused) || refused.Field != field || refused.Remedy == "" {
			t.Errorf("%s: %v", field, err)
		}
	}
}

func TestOddNumbersAreRefused(t *testing.T) {
	t.Parallel()
	g, total, _ := lines(t)
	for name, r := range map[string]Request{
		"negative draws":    {Draws: -5},
		"10^9 draws":        {Draws: 1_000_000_000},
		"too many figures":  {Draws: 10_000_000, Outputs: ids(total, total, total)},
		"chance nan":        {Draws: 1, Precision: &Precision{P: math.NaN(), Relative: 0.1}},
		"chance 0":          {Draws: 1, Precision: &Precision{P: 0, Relative: 0.1}},
		"precision nan":     {Draws: 1, Precision: &Precision{P: 0.5, Relative: math.NaN()}},
		"precision inf":     {Draws: 1, Precision: &Precision{P: 0.5, Relative: math.Inf(1)}},
		"precision below 0": {Draws: 1, Precision: &Precision{P: 0.5, Relative: -1}},
	} {
		if r.Outputs == nil {
			r.Outputs = ids(total)
		}
		_, err := Run(context.Background(), g, r, silent)
		var refused *RequestError
		if !errors.As(err, &refused) {
			t.Errorf("%s: %v", name, err)
		}
	}
	_, err := Shares(context.Background(), g, total, Request{}, silent)
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
	_, err := Run(context.Background(), g, Request{Outputs: ids(x, out), Draws: 1}, silent)
	var undefined *UndefinedError
	var cause *exact.UndefinedError
	if !errors.As(err, &undefined) || undefined.Field != "outputs[1]" || !errors.As(err, &cause) {
		t.Errorf("error %v", err)
	}
}

func TestQuantileOfAnyChance(t *testing.T) {
	t.Parallel()
	g, total, _ := lines(t)
	o := run(t, g, Request{Outputs: ids(total), Draws: 1}).Outputs[0]
	low, high := o.Ends()
	for p, want := range map[float64]float64{0: low, 1: high, 0.8: o.Quantiles[3].Value} {
		if q, err := o.Quantile(p); err != nil || q.Value != want {
			t.Errorf("P%v is %v, %v; want %v", p, q, err, want)
		}
	}
	for _, p := range []float64{-0.1, 1.1, math.NaN()} {
		var refused *RequestError
		if _, err := o.Quantile(p); !errors.As(err, &refused) || refused.Field != "p" {
			t.Errorf("P%v: %v", p, err)
		}
	}
	if share := o.AtMost(math.NaN()); !math.IsNaN(share.Value) {
		t.Errorf("chance to stay within no number is %v", share)
	}
	if o.AtMost(math.Inf(1)).Value != 1 || o.AtMost(math.Inf(-1)).Value != 0 {
		t.Error("infinite bounds")
	}
}
