package web_test

import (
	"fmt"
	"math"
	"math/big"
	"testing"

	"kerfbook/costing/graph/proof"
)

// recompute computes the figure of a proof step from the values of its arguments,
// without any code of the engine. ok is false for what has no arguments or is
// decided by a solver.
func recompute(s proof.Step) (want *big.Rat, ok bool, err error) {
	args := make([]*big.Rat, len(s.Steps))
	for i, sub := range s.Steps {
		args[i], _ = new(big.Rat).SetString(sub.Value) // nil where undefined
	}
	switch s.Operation {
	case "constant", "range", "decided":
		return nil, false, nil
	case "choose", "check", "band", "band in two dimensions", "at", "least":
		want, err = selected(s, args)
		return want, err == nil, err
	}
	for i, a := range args {
		if a == nil {
			return nil, false, fmt.Errorf("argument %s is undefined", s.Arguments[i])
		}
	}
	want, err = computed(s.Operation, args)
	return want, err == nil, err
}

func computed(operation string, a []*big.Rat) (*big.Rat, error) {
	out := new(big.Rat)
	switch operation {
	case "add":
		for _, x := range a {
			out.Add(out, x)
		}
	case "multiply":
		out.SetInt64(1)
		for _, x := range a {
			out.Mul(out, x)
		}
	case "subtract":
		out.Sub(a[0], a[1])
	case "divide":
		out.Quo(a[0], a[1])
	case "sum of products":
		for i := 0; i < len(a); i += 2 {
			out.Add(out, new(big.Rat).Mul(a[i], a[i+1]))
		}
	case "minimum", "maximum":
		out.Set(a[0])
		for _, x := range a[1:] {
			if (x.Cmp(out) < 0) == (operation == "minimum") {
				out.Set(x)
			}
		}
	case "floor", "ceiling", "round", "round half even":
		out.Mul(whole(operation, snapped(new(big.Rat).Quo(a[0], a[1]))), a[1])
	case "square root":
		return root(a[0]), nil
	case "power", "natural logarithm", "exponential", "arc cosine":
		return inBinary(operation, a)
	default:
		return nil, fmt.Errorf("the operation %q is not known here", operation)
	}
	return out, nil
}

// inBinary computes what has no fraction for an answer, to the digits of a binary
// number.
func inBinary(operation string, a []*big.Rat) (*big.Rat, error) {
	x, _ := a[0].Float64()
	var f float64
	switch operation {
	case "power":
		y, _ := a[1].Float64()
		f = math.Pow(x, y)
	case "natural logarithm":
		f = math.Log(x)
	case "exponential":
		f = math.Exp(x)
	case "arc cosine":
		f = math.Acos(x)
	}
	out := new(big.Rat).SetFloat64(f)
	if out == nil {
		return nil, fmt.Errorf("%s of %v has no value", operation, x)
	}
	return out, nil
}

// agrees compares with as many digits as the answer has.
func agrees(operation string, got, want *big.Rat) bool {
	switch operation {
	case "power", "natural logarithm", "exponential", "arc cosine":
		off := new(big.Rat).Abs(new(big.Rat).Sub(got, want))
		return off.Cmp(new(big.Rat).Mul(new(big.Rat).Abs(want), big.NewRat(1, 1_000_000_000_000))) <= 0
	}
	return near(got, want)
}

// whole rounds to a whole number.
func whole(how string, x *big.Rat) *big.Rat {
	floor := new(big.Int).Div(x.Num(), x.Denom()) // denominators are positive: Euclid's is the floor
	rest := new(big.Rat).Sub(x, new(big.Rat).SetInt(floor))
	half := rest.Cmp(big.NewRat(1, 2))
	up := false
	switch how {
	case "ceiling":
		up = rest.Sign() > 0
	case "round":
		up = half > 0 || half == 0 && x.Sign() > 0
	case "round half even":
		up = half > 0 || half == 0 && floor.Bit(0) == 1
	}
	if up {
		floor.Add(floor, big.NewInt(1))
	}
	return new(big.Rat).SetInt(floor)
}

// snapped rounds to nine decimal places, halves away from zero.
func snapped(x *big.Rat) *big.Rat {
	scale := big.NewRat(1_000_000_000, 1)
	return new(big.Rat).Quo(whole("round", new(big.Rat).Mul(x, scale)), scale)
}

func root(x *big.Rat) *big.Rat {
	f := new(big.Float).SetPrec(300).SetRat(x)
	out, _ := f.Sqrt(f).Rat(nil)
	return out
}

// selected computes what picks one of its arguments.
func selected(s proof.Step, a []*big.Rat) (*big.Rat, error) {
	switch s.Operation {
	case "least":
		best := 0
		for i, x := range a {
			if x.Cmp(a[best]) < 0 {
				best = i
			}
		}
		return big.NewRat(int64(best+1), 1), nil
	case "at":
		i := int(snapped(a[0]).Num().Int64())
		return a[i], nil
	case "choose":
		if holds(s.Comparison, a[0], a[1]) {
			return a[2], nil
		}
		return a[3], nil
	case "check":
		if holds(s.Comparison, a[0], a[1]) {
			return big.NewRat(1, 1), nil
		}
		return new(big.Rat), nil
	}
	return looked(s, a)
}

func holds(comparison string, a, b *big.Rat) bool {
	order := snapped(a).Cmp(snapped(b))
	switch comparison {
	case "<":
		return order < 0
	case "<=":
		return order <= 0
	case "=":
		return order == 0
	case ">=":
		return order >= 0
	case ">":
		return order > 0
	}
	return order != 0
}

// looked looks a value up in bands.
func looked(s proof.Step, a []*big.Rat) (*big.Rat, error) {
	at, cell := 0, 0
	for _, axis := range s.Bands {
		x, index := snapped(a[at]), 0
		at++
		if axis.HasLow {
			at++
		}
		for _, below := range axis.BelowClosed {
			if order := x.Cmp(snapped(a[at])); order > 0 || order == 0 && !below {
				index++
			}
			at++
		}
		if axis.HasHigh {
			at++
		}
		cell = cell*(len(axis.BelowClosed)+1) + index
	}
	if at+cell >= len(a) {
		return nil, fmt.Errorf("the table has no band %d", cell)
	}
	return a[at+cell], nil
}

// near reports whether two figures differ by at most one unit in the 30th digit.
func near(got, want *big.Rat) bool {
	difference := new(big.Rat).Sub(got, want)
	difference.Abs(difference)
	size := new(big.Rat).Abs(want)
	if size.Sign() == 0 {
		return difference.Sign() == 0
	}
	scale := new(big.Rat).SetInt(new(big.Int).Exp(big.NewInt(10), big.NewInt(29), nil))
	return difference.Mul(difference, scale).Cmp(size) <= 0
}

// TestRecomputeFinds proves that the interpreter sees a wrong figure.
func TestRecomputeFinds(t *testing.T) {
	t.Parallel()
	arg := func(v string) proof.Step { return proof.Step{Value: v} }
	for _, c := range []struct {
		step proof.Step
		want string
	}{
		{proof.Step{Operation: "add", Steps: []proof.Step{arg("1.5"), arg("2")}}, "3.5"},
		{proof.Step{Operation: "sum of products", Steps: []proof.Step{arg("2"), arg("3"), arg("4"), arg("0.5")}}, "8"},
		{proof.Step{Operation: "ceiling", Steps: []proof.Step{arg("6.0000000000001"), arg("1")}}, "6"},
		{proof.Step{Operation: "round", Steps: []proof.Step{arg("-2.5"), arg("1")}}, "-3"},
		{proof.Step{Operation: "round half even", Steps: []proof.Step{arg("2.5"), arg("1")}}, "2"},
		{proof.Step{Operation: "floor", Steps: []proof.Step{arg("-0.5"), arg("1")}}, "-1"},
		{proof.Step{Operation: "choose", Comparison: "<=", Steps: []proof.Step{arg("2"), arg("2"), arg("7"), arg("")}}, "7"},
		{proof.Step{Operation: "band", Bands: []proof.Axis{{BelowClosed: []bool{true}}}, Steps: []proof.Step{arg("10"), arg("10"), arg("1"), arg("2")}}, "1"},
	} {
		got, ok, err := recompute(c.step)
		want, _ := new(big.Rat).SetString(c.want)
		if err != nil || !ok || got.Cmp(want) != 0 {
			t.Errorf("%s: %v %v, want %s", c.step.Operation, got, err, c.want)
		}
	}
	a, _ := new(big.Rat).SetString("1.00000000000000000000000000000")
	b, _ := new(big.Rat).SetString("1.00000000000000000000000000002")
	if near(b, a) || !near(a, a) {
		t.Error("figures that differ are taken to be the same")
	}
}
