package fractiontest

import (
	"math/big"
	"testing"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/proof"
)

// TestRecompute proves that the interpreter sees a wrong figure.
func TestRecompute(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		step proof.Step
		args []string
		want string
	}{
		{proof.Step{Operation: "add"}, []string{"1.5", "2"}, "3.5"},
		{proof.Step{Operation: "sum of products"}, []string{"2", "3", "4", "0.5"}, "8"},
		{proof.Step{Operation: "ceiling"}, []string{"6.0000000000001", "1"}, "6"},
		{proof.Step{Operation: "round"}, []string{"-2.5", "1"}, "-3"},
		{proof.Step{Operation: "round half even"}, []string{"2.5", "1"}, "2"},
		{proof.Step{Operation: "floor"}, []string{"-0.5", "1"}, "-1"},
		{proof.Step{Operation: "choose", Comparison: "<="}, []string{"2", "2", "7", ""}, "7"},
		{proof.Step{Operation: "choose", Comparison: "<"}, []string{"2", "2", "7", ""}, ""},
		{proof.Step{Operation: "band", Bands: []graph.Bands{{BelowClosed: []bool{true}}}}, []string{"10", "10", "1", "2"}, "1"},
		{proof.Step{Operation: "band", Bands: []graph.Bands{{HasHigh: true}}}, []string{"10", "10", "1"}, ""},
		{proof.Step{Operation: "power"}, []string{"2", "0.5"}, "1.41421356237309504880168872420969807857"},
		{proof.Step{Operation: "arc cosine"}, []string{"0.5"}, "1.04719755119659774615421446109316762807"},
		{proof.Step{Operation: "arc cosine"}, []string{"-1"}, "3.14159265358979323846264338327950288420"},
		{proof.Step{Operation: "natural logarithm"}, []string{"2"}, "0.69314718055994530941723212145817656808"},
		{proof.Step{Operation: "divide"}, []string{"1", "0"}, ""},
	} {
		var args []*big.Rat
		for _, a := range c.args {
			args = append(args, Value(a))
		}
		if got, err := Recompute(c.step, args); err != nil || !Agrees(got, Value(c.want)) {
			t.Errorf("%s: %v %v, want %s", c.step.Operation, got, err, c.want)
		}
	}
	if _, err := Recompute(proof.Step{Operation: "guess"}, []*big.Rat{new(big.Rat)}); err == nil {
		t.Error("an operation that there is not is taken")
	}
	a, b := Rat("1.00000000000000000000000000000"), Rat("1.00000000000000000000000000002")
	if Near(b, a) || !Near(a, a) {
		t.Error("figures that differ are taken to be the same")
	}
}
