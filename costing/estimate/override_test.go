package estimate_test

import (
	"strings"
	"testing"

	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
)

func TestOverriddenMinutesAreCharged(t *testing.T) {
	t.Parallel()
	with := featuredSheet(t, "products:\n", `overrides:
  - {id: timed, figure: part/A/op/10/cutting, value: 0.75741, unit: min/piece, reason: timed, from: 2026-05-04}
  - {id: later, figure: part/A/op/10/cutting, value: 9, unit: min/piece, reason: not yet, from: 2026-11-26}
  - {id: before, figure: part/A/op/10/cutting, value: 9, unit: min/piece, reason: earlier, from: 2026-04-01}
  - {id: over, figure: part/A/op/10/piece-time, value: 9, unit: min/piece, reason: old, from: 2026-04-01, until: 2026-04-30}
  - {id: elsewhere, figure: part/Z/op/10/piece-time, value: 9, unit: h, reason: no such part, from: 2026-04-01}
products:
`)
	without := featuredSheet(t)
	const cutting = "part/A/op/10/cutting"
	ft.Same(t, "the computed figure", with.key(cutting+"/computed"), without.key(cutting))
	more := ft.Minus(ft.Rat("0.75741"), without.key(cutting))
	for _, key := range []string{"part/A/op/10/piece-time", "part/A/each/machine"} { // a minute costs 1
		ft.Same(t, "the change of "+key, ft.Minus(with.key(key), without.key(key)), more)
	}
	if without.Has(cutting + "/computed") {
		t.Error("a figure that is not overridden has two keys")
	}
	notes := 0
	for _, f := range with.Graph.Findings() {
		if f.Path == "overrides[0].value" && f.Severity == graph.Note && strings.HasSuffix(f.Message, "since 2026-05-04: timed") {
			notes++
		}
	}
	if notes != 1 {
		t.Errorf("%d notes on the override among %v", notes, with.Graph.Findings())
	}
}

func TestOverrideOfWhatIsEnteredIsRefused(t *testing.T) {
	t.Parallel()
	_, err := featured(t, "products:\n", `overrides:
  - {id: a, figure: part/A/op/10/handling, value: 2, unit: min/piece, reason: guess, from: 2026-05-04}
  - {id: b, figure: part/A/op/10/cutting, value: 2, unit: h/piece, reason: guess, from: 2026-05-04}
  - {id: c, figure: mix/only, value: 2, unit: piece, reason: guess, from: 2026-05-04}
products:
`)
	list := messages(err)
	says(t, list, "overrides[0]", "change the input itself")
	says(t, list, "overrides[1]", `in "min/piece", not in "h/piece"`)
	says(t, list, "overrides[2]", "change the input itself")
}

func TestOverridesThatDoNotFit(t *testing.T) {
	t.Parallel()
	for what, c := range map[string][2]string{
		"a key that is none":      {"overrides: [{id: a, figure: part//x, value: 1, reason: r, from: 2026-01-01}]\n", "no key of a figure"},
		"ends before it begins":   {"overrides: [{id: a, figure: part/x, value: 1, reason: r, from: 2026-02-01, until: 2026-01-31}]\n", "before it begins"},
		"two from one day":        {"overrides: [{id: a, figure: part/x, value: 1, reason: r, from: 2026-02-01}, {id: b, figure: part/x, value: 2, reason: r, from: 2026-02-01}]\n", "another number from 2026-02-01"},
		"a name twice":            {"overrides: [{id: a, figure: part/x, value: 1, reason: r, from: 2026-02-01}, {id: a, figure: part/y, value: 2, reason: r, from: 2026-02-01}]\n", "a is used twice"},
		"no reason":               {"overrides: [{id: a, figure: part/x, value: 1, from: 2026-02-01}]\n", "reason"},
		"a range that is not one": {"overrides: [{id: a, figure: part/x, value: {low: 2, likely: 1, high: 3}, reason: r, from: 2026-02-01}]\n", "likely"},
	} {
		wantRefused(t, what, c[0], c[1])
	}
}
