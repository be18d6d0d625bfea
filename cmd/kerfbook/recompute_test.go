package main

import (
	"encoding/json"
	"fmt"
	"maps"
	"math/big"
	"slices"
	"testing"

	"kerfbook/api/answer"
	"kerfbook/costing/book"
	"kerfbook/costing/fractiontest"
	"kerfbook/costing/graph/proof"
	"kerfbook/testdata"
)

// TestEveryNumberIsExplained takes every figure price --json prints for one
// batch, asks for its proof, and recomputes each step of all proofs from the
// values of its arguments.
func TestEveryNumberIsExplained(t *testing.T) {
	t.Parallel()
	var list answer.PriceList
	if err := json.Unmarshal([]byte(mustRun(t, "price", "demo", "--json", "--day", "2026-11-25", "--trims", "glow", "--quantities", "120")), &list); err != nil {
		t.Fatal(err)
	}
	figures := printed(t, list.Estimates[0])
	if len(figures) < 150 {
		t.Fatalf("only %d figures are printed", len(figures))
	}
	steps := allSteps(t, slices.Sorted(maps.Keys(figures)))
	for key, value := range figures {
		if steps[key].Value != value {
			t.Errorf("%s is printed as %s and explained as %s", key, value, steps[key].Value)
		}
	}
	for _, s := range steps {
		if err := recompute(s, steps); err != nil {
			t.Errorf("%s: %v", s.Key, err)
		}
	}
	t.Logf("%d figures, %d steps", len(figures), len(steps))
}

// TestExplainCommandGivesTheProof holds what the command writes against the proof
// the test above recomputes.
func TestExplainCommandGivesTheProof(t *testing.T) {
	t.Parallel()
	keys := []string{"variant/glow/each/full", "variant/glow/price/direct/margin", "destination/GB/glow/buyer-clears/total", "destination/JP/glow/all-paid/total"}
	steps := allSteps(t, keys)
	for _, key := range keys {
		var root proof.Step
		out := mustRun(t, "explain", "demo", key, "--json", "--day", "2026-11-25", "--mix", "glow=120", "--depth", "1")
		if err := json.Unmarshal([]byte(out), &root); err != nil {
			t.Fatal(err)
		}
		want := steps[key]
		if root.Value != want.Value || root.How != want.How || !slices.Equal(root.Arguments, want.Arguments) || len(root.Steps) != len(root.Arguments) {
			t.Errorf("%s: the command explains %+v", key, root)
		}
	}
}

// allSteps opens the proofs of keys, and of what they rest on, step by step.
func allSteps(t *testing.T, keys []string) map[string]proof.Step {
	t.Helper()
	b, _, err := book.Parse(testdata.Demo)
	if err != nil {
		t.Fatal(err)
	}
	mix := must(answer.ParseMix(b, "glow=120"))(t)
	e := must(answer.Of(b).Sheet(t.Context(), mix, "2026-11-25"))(t)
	steps := map[string]proof.Step{}
	for len(keys) > 0 {
		key := keys[0]
		keys = keys[1:]
		if _, known := steps[key]; known {
			continue
		}
		s := must(e.Explain(key, 0))(t)
		steps[key] = s
		keys = append(keys, s.Arguments...)
	}
	return steps
}

// printed collects every figure below a value of the price list.
func printed(t *testing.T, v any) map[string]string {
	t.Helper()
	data := must(json.Marshal(v))(t)
	var tree any
	if err := json.Unmarshal(data, &tree); err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	var walk func(any)
	walk = func(n any) {
		switch n := n.(type) {
		case []any:
			for _, x := range n {
				walk(x)
			}
		case map[string]any:
			if key, ok := n["key"].(string); ok && key != "" {
				if value, ok := n["value"].(string); ok {
					out[key] = value
				}
			}
			for _, x := range n {
				walk(x)
			}
		}
	}
	walk(tree)
	return out
}

// recompute works a step out again from its arguments, in fractions.
func recompute(s proof.Step, steps map[string]proof.Step) error {
	if len(s.Arguments) == 0 {
		return nil
	}
	args := make([]*big.Rat, len(s.Arguments))
	for i, key := range s.Arguments {
		a, known := steps[key]
		if !known {
			return fmt.Errorf("its argument %s is not explained", key)
		}
		args[i] = fractiontest.Value(a.Value)
	}
	want, err := fractiontest.Recompute(s, args)
	if err == nil && !fractiontest.Agrees(fractiontest.Value(s.Value), want) {
		err = fmt.Errorf("is %q, recomputed %v from %v", s.Value, want, s.Arguments)
	}
	return err
}
