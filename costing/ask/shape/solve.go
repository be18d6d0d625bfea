package shape

import "math"

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
