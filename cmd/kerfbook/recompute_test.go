package main

import (
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"math/big"
	"slices"
	"testing"

	"kerfbook/api/answer"
	"kerfbook/costing/book"
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
	keys := []string{"variant/glow/each/full", "variant/glow/price/direct/margin", "destination/GB/glow/at-place/total", "destination/JP/glow/duty-paid/total"}
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
	mix, err := answer.ParseMix(b, "glow=120")
	if err != nil {
		t.Fatal(err)
	}
	e, err := answer.Of(b).Sheet(t.Context(), mix, "2026-11-25")
	if err != nil {
		t.Fatal(err)
	}
	steps := map[string]proof.Step{}
	for len(keys) > 0 {
		key := keys[0]
		keys = keys[1:]
		if _, known := steps[key]; known {
			continue
		}
		s, err := e.Explain(key, 0)
		if err != nil {
			t.Fatal(err)
		}
		steps[key] = s
		keys = append(keys, s.Arguments...)
	}
	return steps
}

// printed collects every figure below a value of the price list.
func printed(t *testing.T, v any) map[string]string {
	t.Helper()
	data, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
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

// transcendental works a power, a logarithm, an exponential or an arc cosine out
// again in binary numbers and accepts the value if they agree to twelve digits:
// that finds a wrong argument or order; further digits are held by the tests of
// the exact evaluator.
func transcendental(s proof.Step, a []*big.Rat) *big.Rat {
	x, _ := a[0].Float64()
	want := number(s.Value)
	if want == nil {
		return nil
	}
	got, _ := want.Float64()
	var again float64
	switch s.Operation {
	case "power":
		y, _ := a[1].Float64()
		again = math.Pow(x, y)
	case "arc cosine":
		again = math.Acos(x)
	case "natural logarithm":
		again = math.Log(x)
	case "exponential":
		again = math.Exp(x)
	}
	if math.Abs(got-again) > 1e-12*math.Abs(again)+1e-14 {
		return new(big.Rat).SetFloat64(again)
	}
	return want
}

// recompute works a step out again from its arguments, in fractions, and holds
// it against the value to 30 digits.
func recompute(s proof.Step, steps map[string]proof.Step) error {
	args := make([]*big.Rat, len(s.Arguments))
	for i, key := range s.Arguments {
		a, known := steps[key]
		if !known {
			return fmt.Errorf("its argument %s is not explained", key)
		}
		args[i] = number(a.Value)
	}
	want, got := number(s.Value), reckon(s, args)
	if len(args) == 0 {
		got = want
	}
	if want == nil || got == nil {
		if want != got {
			return fmt.Errorf("is %q, recomputed %v", s.Value, got)
		}
		return nil
	}
	diff := new(big.Rat).Sub(want, got)
	limit := new(big.Rat).Mul(new(big.Rat).Abs(want), big.NewRat(1, 1_000_000_000_000_000))
	limit.Mul(limit, big.NewRat(1, 1_000_000_000_000_000))
	if diff.Abs(diff).Cmp(limit) > 0 {
		return fmt.Errorf("is %s, recomputed %s from %v", s.Value, got.FloatString(40), s.Arguments)
	}
	return nil
}

// number reads a value; nil is undefined.
func number(text string) *big.Rat {
	if text == "" {
		return nil
	}
	r, _ := new(big.Rat).SetString(text)
	return r
}

// snap rounds to nine places, halves away from zero.
func snap(x *big.Rat) *big.Rat {
	r, _ := new(big.Rat).SetString(x.FloatString(9))
	return r
}

// floorOf is the largest whole number not above x.
func floorOf(x *big.Rat) *big.Rat {
	q := new(big.Int).Div(x.Num(), x.Denom()) // Euclidean, and denominators are positive
	return new(big.Rat).SetInt(q)
}

// reckon is the meaning of each operation; nil is undefined.
func reckon(s proof.Step, a []*big.Rat) *big.Rat {
	lazy := map[string]bool{"choose": true, "at": true, "band": true}
	for _, x := range a {
		if x == nil && !lazy[s.Operation] {
			return nil
		}
	}
	switch s.Operation {
	case "add":
		return fold(a, (*big.Rat).Add)
	case "multiply":
		return fold(a, (*big.Rat).Mul)
	case "subtract":
		return new(big.Rat).Sub(a[0], a[1])
	case "divide":
		if a[1].Sign() == 0 {
			return nil
		}
		return new(big.Rat).Quo(a[0], a[1])
	case "sum of products":
		sum := new(big.Rat)
		for i := 0; i < len(a); i += 2 {
			sum.Add(sum, new(big.Rat).Mul(a[i], a[i+1]))
		}
		return sum
	case "minimum", "maximum":
		return extreme(a, s.Operation == "maximum")
	case "least":
		return least(a)
	case "at":
		if a[0] == nil || !a[0].IsInt() || a[0].Num().Int64() < 1 || int(a[0].Num().Int64()) >= len(a) {
			return nil
		}
		return a[a[0].Num().Int64()]
	case "floor", "ceiling", "round":
		return step(s.Operation, a[0], a[1])
	case "square root":
		root := new(big.Float).SetPrec(200).SetRat(a[0])
		r, _ := root.Sqrt(root).Rat(nil)
		return r
	case "power", "arc cosine", "natural logarithm", "exponential":
		return transcendental(s, a)
	case "choose", "check":
		return compared(s, a)
	case "band":
		return looked(s, a)
	}
	return nil
}

func fold(a []*big.Rat, do func(z, x, y *big.Rat) *big.Rat) *big.Rat {
	out := new(big.Rat).Set(a[0])
	for _, x := range a[1:] {
		do(out, out, x)
	}
	return out
}

func extreme(a []*big.Rat, largest bool) *big.Rat {
	out := a[0]
	for _, x := range a[1:] {
		if (x.Cmp(out) > 0) == largest && x.Cmp(out) != 0 {
			out = x
		}
	}
	return out
}

func least(a []*big.Rat) *big.Rat {
	best := 0
	for i, x := range a {
		if snap(x).Cmp(snap(a[best])) < 0 {
			best = i
		}
	}
	return big.NewRat(int64(best+1), 1)
}

func step(op string, x, step *big.Rat) *big.Rat {
	q := snap(new(big.Rat).Quo(x, step))
	switch op {
	case "floor":
		q = floorOf(q)
	case "ceiling":
		q = new(big.Rat).Neg(floorOf(new(big.Rat).Neg(q)))
	default:
		q, _ = new(big.Rat).SetString(q.FloatString(0))
	}
	return q.Mul(q, step)
}

func compared(s proof.Step, a []*big.Rat) *big.Rat {
	if a[0] == nil || a[1] == nil {
		return nil
	}
	sign := snap(a[0]).Cmp(snap(a[1]))
	holds := map[string]bool{"<": sign < 0, "<=": sign <= 0, "=": sign == 0, ">=": sign >= 0, ">": sign > 0, "<>": sign != 0}[s.Comparison]
	if s.Operation == "check" {
		if holds {
			return big.NewRat(1, 1)
		}
		return new(big.Rat)
	}
	if holds {
		return a[2]
	}
	return a[3]
}

// looked finds the band of x: one more than the edges it has passed.
func looked(s proof.Step, a []*big.Rat) *big.Rat {
	axis, at := s.Bands[0], 1
	x := snap(a[0])
	if axis.HasLow {
		if c := x.Cmp(snap(a[at])); c < 0 || c == 0 && !axis.LowClosed {
			return nil
		}
		at++
	}
	band := 0
	for _, below := range axis.BelowClosed {
		if c := x.Cmp(snap(a[at])); c > 0 || c == 0 && !below {
			band++
		}
		at++
	}
	if axis.HasHigh {
		if c := x.Cmp(snap(a[at])); c > 0 || c == 0 && !axis.HighClosed {
			return nil
		}
		at++
	}
	return a[at+band]
}
