package change

import (
	"bytes"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/testdata"
)

// TestWhatIfDrawsAnew: a what-if on a price that draws are behind gives, to the last
// digit, what the book gives once the change is saved: a rate, a range that becomes one
// number, a quantity, the cost that the price rests on, and a margin, which leaves the
// draws as they were.
func TestWhatIfDrawsAnew(t *testing.T) {
	t.Parallel()
	text := bytes.Replace(testdata.Demo, []byte("channel: direct, margin: 0.36"), []byte("channel: direct, margin: 0.36, rests_on: average"), 1)
	held := shelfOf(t, text)
	o := Origin{answer.Of(held.Book), func() (*Shelf, error) { return held, nil }}
	mix := estimate.NewMix("LAMP", decimal.NewFromInt(100), "plain")
	for key, c := range map[string]struct {
		value string
		same  bool // what the draws add stays
	}{
		"work-centre/BENCH/labour-rate":          {value: "40"},
		"product/LAMP/op/10/piece-time":          {value: "12"},
		"mix/plain":                              {value: "120"},
		"book/prices/LAMP._.direct/rests_on":     {value: "not exceeded in 80 of 100"},
		"price/LAMP._.direct/margin-wanted":      {value: "0.4", same: true},
		"book/prices/LAMP._.direct/price_no":     {},
		"variant/plain/price/direct/draws-add":   {},
		"variant/plain/price/direct/draws-wrong": {},
	} {
		changes := []Change{{Key: key, Value: c.value}}
		got, err := o.WhatIf(t.Context(), mix, "2026-11-25", changes)
		if c.value == "" {
			if err == nil {
				t.Errorf("%s is changed", key)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s: %v", key, err)
			continue
		}
		saved, asked := held.Book, mix
		if strings.HasPrefix(key, "mix/") {
			asked = estimate.NewMix("LAMP", decimal.RequireFromString(c.value), "plain")
		} else {
			e, err := o.Evaluate(t.Context(), mix, "2026-11-25")
			if err != nil {
				t.Fatal(err)
			}
			edits, err := held.edits(changes, []*graph.Graph{e.Estimate.Graph})
			if err != nil {
				t.Fatal(err)
			}
			drafts, err := held.drafts(edits)
			if err != nil {
				t.Fatal(err)
			}
			saved = held.With(drafts).Book
		}
		e, err := answer.Of(saved).Evaluate(t.Context(), asked, "2026-11-25")
		if err != nil {
			t.Fatal(err)
		}
		was, is, want := got.Before.Variants[0].Channels[0], got.After.Variants[0].Channels[0], e.Figures().Variants[0].Channels[0]
		if is.DrawsAdd.Value != want.DrawsAdd.Value || is.Shelf.Value != want.Shelf.Value || is.RestsOnCost.Value != want.RestsOnCost.Value || is.RestsOn != want.RestsOn {
			t.Errorf("%s: the what-if gives %s on %s, saved it is %s on %s", key, is.Shelf.Value, is.RestsOnCost.Value, want.Shelf.Value, want.RestsOnCost.Value)
		}
		if c.same != (was.DrawsAdd.Value == is.DrawsAdd.Value) || got.Rebuilt {
			t.Errorf("%s: the draws add %s, before %s; rebuilt %v", key, is.DrawsAdd.Value, was.DrawsAdd.Value, got.Rebuilt)
		}
	}
}
