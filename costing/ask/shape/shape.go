// Package shape holds the distributions of estimated ranges: where the values of
// a range lie between low and high, as curves in float64. It knows no graph
// beyond the node of a range, no generator and no cost: a caller brings uniform
// numbers and gets values of the input.
//
// Every figure is in the unit of the range. A range whose low and high are equal
// is a constant, whatever its shape.
package shape

import (
	"math"

	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// Spread is the distribution of one range. Low ≤ Likely ≤ High; SD > 0 for the
// normal shape and unused for the others.
type Spread struct {
	Shape                 bom.Shape
	Low, Likely, High, SD float64
}

// Of gives the distribution of a Range node; any other node is a constant at its
// value.
func Of(n graph.Node) Spread {
	likely := n.Value.InexactFloat64()
	if n.Op != graph.Range {
		return Spread{Low: likely, Likely: likely, High: likely}
	}
	return Spread{Shape: n.Shape, Low: n.Low.InexactFloat64(), Likely: likely, High: n.High.InexactFloat64(), SD: n.SD.InexactFloat64()}
}

// curve is one shape with its figures worked out. Shares are of the values drawn,
// from 0 to 1; distances are from one end of the range, so that they keep their
// relative precision close to it.
type curve interface {
	// ends gives the two tails and where each starts: values are start + distance
	// for low and start − distance for high.
	ends() (low, high end)
}

// end is one tail of a curve: the distance from start within which a share q lies,
// 0 < q ≤ 0.5, and how fast the distance grows with the share. A guess of the
// distance makes it quicker; 0 is none.
type end struct {
	start    float64
	distance func(q, guess float64) (distance, slope float64)
}

func (s Spread) curve() curve {
	width := s.High - s.Low
	switch {
	case !(width > 0), s.Shape == bom.Normal && !(s.SD > 0): // a deviation too small for a float64
		return constant{s.Likely}
	case s.Shape == bom.Pert:
		return newPert(s)
	case s.Shape == bom.Uniform:
		return uniform{s}
	case s.Shape == bom.Normal:
		return newNormal(s)
	default:
		return newTriangular(s)
	}
}

// Quantile gives the value that a share p of all draws does not exceed, 0 ≤ p ≤ 1;
// NaN for NaN. It is right to 1e-12 of the width of the range.
func (s Spread) Quantile(p float64) float64 {
	switch {
	case math.IsNaN(p):
		return p
	case p <= 0:
		return s.Low
	case p >= 1:
		return s.High
	}
	low, high := s.curve().ends()
	return s.at(low, high, p)
}

// at looks from the nearer end, where small shares keep their digits.
func (s Spread) at(low, high end, p float64) float64 {
	if p <= 0.5 {
		d, _ := low.distance(p, 0)
		return s.within(low.start + d)
	}
	d, _ := high.distance(1-p, 0)
	return s.within(high.start - d)
}

func (s Spread) within(x float64) float64 { return math.Min(math.Max(x, s.Low), s.High) }

// halley finds where a rising function is zero, between two bounds. f gives its
// value and its second derivative, both over its first derivative; both curves
// here have a third derivative of the order of k² = bend² + 1/t² + 1 over the
// first. A step s leaves an error of about k² s³, so that the last step is the one
// whose cube no longer shows. The bounds halve the distance where a step would
// leave them.
func halley(t, lower, upper float64, f func(t float64) (miss, bend float64)) float64 {
	const shows = 1e-15
	for range 200 {
		miss, bend := f(t)
		if miss > 0 {
			upper = t
		} else {
			lower = t
		}
		next := t - miss/(1-math.Min(math.Max(miss*bend/2, -1), 0.5))
		step := math.Abs(next - t)
		switch {
		case !(next >= lower && next <= upper):
			next = lower + (upper-lower)/2
		case step == 0 || step*step*step*(bend*bend+1/(t*t)+1) <= shows*next:
			return next
		}
		t = next
	}
	return t
}
