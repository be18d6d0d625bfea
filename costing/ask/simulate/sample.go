package simulate

import (
	"math"
	"slices"
	"sort"
)

// sample keeps the values of one output block by block, each block sorted, draws
// without a value left out. A block is a replicate.
type sample struct {
	blocks [][]float64
	values int // in all blocks
}

// newSample makes room for some blocks of as many draws.
func newSample(blocks, draws int) *sample {
	all := make([]float64, blocks*draws)
	s := &sample{blocks: make([][]float64, blocks)}
	for i := range s.blocks {
		s.blocks[i] = all[i*draws : (i+1)*draws : (i+1)*draws]
	}
	return s
}

// constantSample is a figure that no draw changes.
func constantSample(v float64) *sample { return &sample{blocks: [][]float64{{v}}, values: 1} }

// put keeps the values of a block. It allocates nothing; different blocks may be
// put at once.
func (s *sample) put(block int, values []float64) {
	kept := s.blocks[block][:0]
	for _, v := range values {
		if finite(v) {
			kept = append(kept, v)
		}
	}
	slices.Sort(kept)
	s.blocks[block] = kept
}

// finite tells a value from an undefined one.
func finite(v float64) bool { return v-v == 0 }

// first is the sample of the first blocks, when they have been put.
func (s *sample) first(blocks int) *sample {
	f := &sample{blocks: s.blocks[:blocks]}
	for _, b := range f.blocks {
		f.values += len(b)
	}
	return f
}

// ends are the smallest and the largest value; there must be one.
func (s *sample) ends() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, b := range s.blocks {
		if len(b) > 0 {
			low, high = min(low, b[0]), max(high, b[len(b)-1])
		}
	}
	return low, high
}

// atMost counts the values that do not exceed x.
func (s *sample) atMost(x float64) int {
	count := 0
	for _, b := range s.blocks {
		count += atMost(b, x)
	}
	return count
}

// atMost counts the values of a sorted block that do not exceed x.
func atMost(sorted []float64, x float64) int {
	return sort.Search(len(sorted), func(i int) bool { return sorted[i] > x })
}

// ranked gives the value at a place of the sorted whole, counted from 0, and the
// one after it (itself at the end), without sorting the whole: the bits of a
// float64 are halved down to the value.
func (s *sample) ranked(place int) (value, next float64) {
	low, high := s.ends()
	last := high
	from, to := ordinal(low), ordinal(high)
	for from < to {
		middle := from + int64(uint64(to-from)/2) // the distance may need 64 bits
		if s.atMost(fromOrdinal(middle)) > place {
			to = middle
		} else {
			from = middle + 1
		}
	}
	value = fromOrdinal(from)
	if s.atMost(value) > place+1 || place+1 >= s.values {
		return value, min(value, last)
	}
	return value, s.after(value)
}

// after is the smallest value above x; there must be one.
func (s *sample) after(x float64) float64 {
	next := math.Inf(1)
	for _, b := range s.blocks {
		if at := atMost(b, x); at < len(b) {
			next = min(next, b[at])
		}
	}
	return next
}

// ordinal numbers the floats in their order, −0 before +0.
func ordinal(v float64) int64 {
	bits := int64(math.Float64bits(v))
	return bits ^ int64(uint64(bits>>63)>>1)
}

func fromOrdinal(n int64) float64 {
	return math.Float64frombits(uint64(n ^ int64(uint64(n>>63)>>1)))
}
