package estimate_test

import (
	"errors"
	"strings"
	"testing"

	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
)

// overridden is the book with features, with numbers in the place of figures.
func overridden(t *testing.T, overrides string) (*estimate.Estimate, error) {
	t.Helper()
	return featured(t, "products:\n", "overrides:\n"+overrides+"products:\n")
}

func TestOverriddenMinutesAreCharged(t *testing.T) {
	t.Parallel()
	est, err := overridden(t, `  - {id: timed, figure: part/A/op/10/cutting, value: 0.75741, unit: min/piece, reason: timed, from: 2026-05-04}
  - {id: later, figure: part/A/op/10/cutting, value: 9, unit: min/piece, reason: not yet, from: 2026-11-26}
  - {id: before, figure: part/A/op/10/cutting, value: 9, unit: min/piece, reason: earlier, from: 2026-04-01}
  - {id: over, figure: part/A/op/10/piece-time, value: 9, unit: min/piece, reason: old, from: 2026-04-01, until: 2026-04-30}
  - {id: elsewhere, figure: part/Z/op/10/piece-time, value: 9, unit: h, reason: no such part, from: 2026-04-01}
`)
	if err != nil {
		t.Fatal(err)
	}
	plain, err := featured(t)
	if err != nil {
		t.Fatal(err)
	}
	with, without := evaluate(t, est, nil), evaluate(t, plain, nil)
	const cutting = "part/A/op/10/cutting"
	same(t, "the computed figure", with.key(cutting+"/computed"), without.key(cutting))
	more := less(rat("0.75741"), without.key(cutting))
	for _, key := range []string{"part/A/op/10/piece-time", "part/A/each/machine"} { // a minute costs 1
		same(t, "the change of "+key, less(with.key(key), without.key(key)), more)
	}
	if _, ok := plain.Graph.Find(cutting + "/computed"); ok {
		t.Error("a figure that is not overridden has two keys")
	}
	notes := 0
	for _, f := range est.Graph.Findings() {
		if f.Path == "overrides[0].value" && f.Severity == graph.Note && strings.HasSuffix(f.Message, "since 2026-05-04: timed") {
			notes++
		}
	}
	if notes != 1 {
		t.Errorf("%d notes on the override among %v", notes, est.Graph.Findings())
	}
}

func TestOverrideOfWhatIsEnteredIsRefused(t *testing.T) {
	t.Parallel()
	_, err := overridden(t, `  - {id: a, figure: part/A/op/10/handling, value: 2, unit: min/piece, reason: guess, from: 2026-05-04}
  - {id: b, figure: part/A/op/10/cutting, value: 2, unit: h/piece, reason: guess, from: 2026-05-04}
  - {id: c, figure: mix/only, value: 2, unit: piece, reason: guess, from: 2026-05-04}
`)
	found := map[string]string{}
	if joined, ok := err.(interface{ Unwrap() []error }); ok {
		for _, one := range joined.Unwrap() {
			var e *estimate.BuildError
			if errors.As(one, &e) {
				found[e.Path] = e.Message
			}
		}
	}
	for path, words := range map[string]string{"overrides[0]": "change the input itself", "overrides[1]": `in "min/piece", not in "h/piece"`, "overrides[2]": "change the input itself"} {
		if !strings.Contains(found[path], words) {
			t.Errorf("%s: %q among %v", path, found[path], err)
		}
	}
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
