package simulate_test

import (
	"context"
	"errors"
	"math"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/ask/simulate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// TestRefusals: every mistake names its field and what would be right, at once.
func TestRefusals(t *testing.T) {
	t.Parallel()
	g, total, lines := threeLines(t)
	for field, change := range map[string]func(*simulate.Request){
		"draws":              func(r *simulate.Request) { r.Draws = 0 },
		"outputs":            func(r *simulate.Request) { r.Outputs = nil },
		"outputs[1]":         func(r *simulate.Request) { r.Outputs = ids(total, 77) },
		"outputs[0]":         func(r *simulate.Request) { r.Outputs = ids(graph.None) },
		"hold":               func(r *simulate.Request) { r.Hold = map[graph.ID]decimal.Decimal{99: dec("1")} },
		"cores":              func(r *simulate.Request) { r.Cores = -1 },
		"precision.output":   func(r *simulate.Request) { r.Precision = &simulate.Precision{Output: 1, P: 0.5, Relative: 0.1} },
		"precision.p":        func(r *simulate.Request) { r.Precision = &simulate.Precision{P: 1, Relative: 0.1} },
		"precision.relative": func(r *simulate.Request) { r.Precision = &simulate.Precision{P: 0.5} },
		"correlations[0]":    func(r *simulate.Request) { r.Correlations = []simulate.Correlation{{A: lines[0], B: lines[0]}} },
	} {
		r := simulate.Request{Outputs: ids(total), Draws: 1000}
		change(&r)
		_, err := simulate.Run(context.Background(), g, r, nil)
		var refused *simulate.RequestError
		if !errors.As(err, &refused) || refused.Field != field || refused.Remedy == "" {
			t.Errorf("%s: %v", field, err)
		}
	}
}

func TestOddNumbersAreRefused(t *testing.T) {
	t.Parallel()
	g, total, _ := threeLines(t)
	for name, r := range map[string]simulate.Request{
		"negative draws":    {Draws: -5},
		"10^9 draws":        {Draws: 1_000_000_000},
		"too many figures":  {Draws: 10_000_000, Outputs: ids(total, total, total)},
		"chance nan":        {Draws: 1, Precision: &simulate.Precision{P: math.NaN(), Relative: 0.1}},
		"chance 0":          {Draws: 1, Precision: &simulate.Precision{P: 0, Relative: 0.1}},
		"precision nan":     {Draws: 1, Precision: &simulate.Precision{P: 0.5, Relative: math.NaN()}},
		"precision inf":     {Draws: 1, Precision: &simulate.Precision{P: 0.5, Relative: math.Inf(1)}},
		"precision below 0": {Draws: 1, Precision: &simulate.Precision{P: 0.5, Relative: -1}},
		"a million cores":   {Draws: 1, Cores: 1_000_000},
	} {
		if r.Outputs == nil {
			r.Outputs = ids(total)
		}
		_, err := simulate.Run(context.Background(), g, r, nil)
		var refused *simulate.RequestError
		if !errors.As(err, &refused) {
			t.Errorf("%s: %v", name, err)
		}
	}
	_, err := simulate.Shares(context.Background(), g, simulate.Request{Outputs: ids(total)}, nil)
	var refused *simulate.RequestError
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
	_, err := simulate.Run(context.Background(), g, simulate.Request{Outputs: ids(x, out), Draws: 1}, nil)
	var undefined *simulate.UndefinedError
	var cause *exact.UndefinedError
	if !errors.As(err, &undefined) || undefined.Field != "outputs[1]" || undefined.Key != "out" || !errors.As(err, &cause) {
		t.Errorf("error %v", err)
	}
}

func TestQuantileOfAnyChance(t *testing.T) {
	t.Parallel()
	g, total, _ := threeLines(t)
	o := run(t, g, simulate.Request{Outputs: ids(total), Draws: 1}).Outputs[0]
	low, high := o.Ends()
	for p, want := range map[float64]float64{0: low, 1: high, 0.8: o.Quantiles[3].Value} {
		if q, err := o.Quantile(p); err != nil || q.Value != want {
			t.Errorf("P%v is %v, %v; want %v", p, q, err, want)
		}
	}
	for _, p := range []float64{-0.1, 1.1, math.NaN()} {
		var refused *simulate.RequestError
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
