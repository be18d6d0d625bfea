package simulate

import (
	"math"
	"strconv"
)

// Histogram counts draws in bins of one width. Bin i holds Edges[i] ≤ x <
// Edges[i+1]; the last one its upper edge too. Edges are whole multiples of 1, 2,
// 2.5 or 5 times a power of ten.
type Histogram struct {
	Edges  []float64 // one more than Counts; one edge where all draws are equal
	Counts []int
}

// Point is a point of the cumulative curve: the share of draws that do not exceed
// X.
type Point struct {
	X, Share float64
}

// mostBins is how many bins a histogram has at most, but for one at each end.
const mostBins = 40

// perBin is how many points the cumulative curve has per bin.
const perBin = 4

// step is a round number mantissa·10^exponent.
type step struct{ mantissa, exponent int }

// roundStep is the smallest round number that is not below a positive width.
func roundStep(width float64) step {
	exponent := int(math.Floor(math.Log10(width))) - 1
	for ; ; exponent++ {
		for _, mantissa := range []int{10, 20, 25, 50} {
			if s := (step{mantissa, exponent}); s.times(1) >= width {
				return s
			}
		}
	}
}

// times gives k steps as the float64 nearest to the decimal number.
func (s step) times(k int) float64 {
	v, err := strconv.ParseFloat(strconv.Itoa(k*s.mantissa)+"e"+strconv.Itoa(s.exponent), 64)
	if err != nil {
		return math.NaN() // out of the range of a float64
	}
	return v
}

// grid gives the bins that hold all values, which lie apart: bin i begins at
// first + i steps.
func (s *sample) grid() (st step, first, bins int) {
	low, high := s.ends()
	st = roundStep((high - low) / mostBins)
	first = int(math.Floor(low / st.times(1)))
	for st.times(first) > low { // what the division rounded
		first--
	}
	bins = 1
	for st.times(first+bins) < high {
		bins++
	}
	return st, first, bins
}

// histogram counts the values in bins.
func (s *sample) histogram() Histogram {
	if s.values == 0 {
		return Histogram{}
	}
	low, high := s.ends()
	if !apart(low, high) {
		return Histogram{Edges: []float64{low}, Counts: []int{s.values}}
	}
	st, first, bins := s.grid()
	h := Histogram{Edges: make([]float64, bins+1), Counts: make([]int, bins)}
	for i := range h.Edges {
		h.Edges[i] = st.times(first + i)
	}
	before := 0
	for i := range h.Counts {
		upTo := s.values
		if i+1 < bins {
			upTo = s.atMost(math.Nextafter(h.Edges[i+1], math.Inf(-1)))
		}
		h.Counts[i], before = upTo-before, upTo
	}
	return h
}

// apart reports whether the values lie far enough apart for bins; what differs
// in the last digits only is one value.
func apart(low, high float64) bool {
	return high-low > 1e-12*max(math.Abs(low), math.Abs(high))
}

// curve gives the cumulative curve at round numbers, from the last without a draw
// to the first with all.
func (s *sample) curve() []Point {
	if s.values == 0 {
		return nil
	}
	low, high := s.ends()
	if !apart(low, high) {
		return []Point{{low, 1}}
	}
	st, first, bins := s.grid()
	var out []Point
	for i := range bins*perBin + 1 {
		a, b := st.times(first+i/perBin), st.times(first+i/perBin+1)
		p := Point{X: between(a, b, float64(i%perBin)/perBin)}
		p.Share = float64(s.atMost(p.X)) / float64(s.values)
		if p.Share == 0 {
			out = out[:0]
		}
		if out = append(out, p); p.Share == 1 {
			break
		}
	}
	return out
}
