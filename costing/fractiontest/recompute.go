package fractiontest

import (
	"fmt"
	"math/big"

	"kerfbook/costing/graph/proof"
)

// Recompute works the figure of a step of a proof out again from the values of its
// arguments, nil where one is undefined, as the figure then may be. A step without
// arguments is not for it.
func Recompute(s proof.Step, a []*big.Rat) (*big.Rat, error) {
	lazy := map[string]bool{"choose": true, "at": true, "band": true, "band in two dimensions": true}
	for _, x := range a {
		if x == nil && !lazy[s.Operation] {
			return nil, nil
		}
	}
	switch s.Operation {
	case "add":
		return Plus(a...), nil
	case "multiply":
		return Times(a...), nil
	case "subtract":
		return Minus(a[0], a[1]), nil
	case "divide":
		if a[1].Sign() == 0 {
			return nil, nil
		}
		return Over(a[0], a[1]), nil
	case "sum of products":
		out := new(big.Rat)
		for i := 0; i < len(a); i += 2 {
			out.Add(out, Times(a[i], a[i+1]))
		}
		return out, nil
	case "minimum", "maximum":
		out := a[0]
		for _, x := range a[1:] {
			if order := x.Cmp(out); order != 0 && (order > 0) == (s.Operation == "maximum") {
				out = x
			}
		}
		return out, nil
	case "floor", "ceiling", "round", "round half even":
		return Times(whole(s.Operation, snapped(Over(a[0], a[1]))), a[1]), nil
	case "square root":
		f := new(big.Float).SetPrec(300).SetRat(a[0])
		out, _ := f.Sqrt(f).Rat(nil)
		return out, nil
	case "power", "natural logarithm", "arc cosine":
		return function(s.Operation, a), nil
	}
	return selected(s, a)
}

// selected computes what picks one of its arguments, or says how they compare.
func selected(s proof.Step, a []*big.Rat) (*big.Rat, error) {
	switch s.Operation {
	case "least":
		best := 0
		for i, x := range a {
			if snapped(x).Cmp(snapped(a[best])) < 0 {
				best = i
			}
		}
		return big.NewRat(int64(best+1), 1), nil
	case "at":
		if a[0] == nil || !a[0].IsInt() || a[0].Sign() < 1 || a[0].Cmp(big.NewRat(int64(len(a)), 1)) >= 0 {
			return nil, nil
		}
		return a[a[0].Num().Int64()], nil
	case "choose", "check":
		if a[0] == nil || a[1] == nil {
			return nil, nil
		}
		order := snapped(a[0]).Cmp(snapped(a[1]))
		holds := map[string]bool{"<": order < 0, "<=": order <= 0, "=": order == 0, ">=": order >= 0, ">": order > 0, "<>": order != 0}[s.Comparison]
		if s.Operation == "check" {
			a = []*big.Rat{nil, nil, big.NewRat(1, 1), new(big.Rat)}
		}
		if holds {
			return a[2], nil
		}
		return a[3], nil
	case "band", "band in two dimensions":
		return looked(s, a), nil
	}
	return nil, fmt.Errorf("the operation %q is not known here", s.Operation)
}

// looked finds the band of each value: one more than the edges it has passed.
func looked(s proof.Step, a []*big.Rat) *big.Rat {
	at, cell := 0, 0
	next := func() *big.Rat { at++; return a[at-1] }
	for _, axis := range s.Bands {
		x, band := next(), 0
		if x == nil {
			return nil
		}
		x = snapped(x)
		if axis.HasLow {
			if c := x.Cmp(snapped(next())); c < 0 || c == 0 && !axis.LowClosed {
				return nil
			}
		}
		for _, below := range axis.BelowClosed {
			if c := x.Cmp(snapped(next())); c > 0 || c == 0 && !below {
				band++
			}
		}
		if axis.HasHigh {
			if c := x.Cmp(snapped(next())); c > 0 || c == 0 && !axis.HighClosed {
				return nil
			}
		}
		cell = cell*(len(axis.BelowClosed)+1) + band
	}
	return a[at+cell]
}

// function computes what has no fraction for an answer, to some seventy digits.
func function(operation string, a []*big.Rat) *big.Rat {
	x := Float(a[0])
	var f *big.Float
	switch operation {
	case "power":
		if a[0].Sign() <= 0 {
			return nil
		}
		f = exponential(new(big.Float).SetPrec(precision).Mul(Float(a[1]), logarithm(x)))
	case "natural logarithm":
		if a[0].Sign() <= 0 {
			return nil
		}
		f = logarithm(x)
	case "arc cosine":
		f = arcCosine(x)
	}
	out, _ := f.Rat(nil)
	return out
}

// whole rounds to a whole number.
func whole(how string, x *big.Rat) *big.Rat {
	floor := new(big.Int).Div(x.Num(), x.Denom()) // denominators are positive: Euclid's is the floor
	rest := Minus(x, new(big.Rat).SetInt(floor))
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
func snapped(x *big.Rat) *big.Rat { return Rat(x.FloatString(9)) }

// Agrees holds the value of a step against what it was recomputed to, to 30 digits.
// Both may be nil, which is undefined.
func Agrees(got, want *big.Rat) bool {
	if got == nil || want == nil {
		return got == want
	}
	return Near(got, want)
}

// Rounded is a fraction in 34 digits, halves to even: what a figure computed in one
// step must be exactly.
func Rounded(x *big.Rat) *big.Rat {
	if x.Sign() == 0 {
		return x
	}
	low, high := tenTo(33), tenTo(34)
	// By the length of the numbers first, which may be one off.
	places := 33 - (x.Num().BitLen()-x.Denom().BitLen())*30103/100000
	scaled := Times(x, tenTo(places))
	for size := new(big.Rat).Abs(scaled); size.Cmp(low) < 0; size.Abs(scaled) {
		places++
		scaled = Times(x, tenTo(places))
	}
	for size := new(big.Rat).Abs(scaled); size.Cmp(high) >= 0; size.Abs(scaled) {
		places--
		scaled = Times(x, tenTo(places))
	}
	return Times(whole("round half even", scaled), tenTo(-places))
}

func tenTo(n int) *big.Rat {
	power := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(max(n, -n))), nil)
	if n < 0 {
		return new(big.Rat).SetFrac(big.NewInt(1), power)
	}
	return new(big.Rat).SetInt(power)
}

// Near reports whether two figures differ by at most one unit in the 30th digit.
func Near(got, want *big.Rat) bool { return within(got, want, 30) }

func within(got, want *big.Rat, digits int64) bool {
	scale := new(big.Int).Exp(big.NewInt(10), big.NewInt(digits), nil)
	off := Minus(got, want)
	return Times(off.Abs(off), new(big.Rat).SetInt(scale)).Cmp(new(big.Rat).Abs(want)) <= 0
}

// Value reads the value of a step; nil is undefined.
func Value(text string) *big.Rat {
	if text == "" {
		return nil
	}
	return Rat(text)
}
