package simulate

import (
	"math"
	"slices"

	"kerfbook/costing/graph/column"
)

// crowd is how many values of a bucket are still sorted by insertion.
const crowd = 12

// sortInto writes the finite ones of at most [column.Block] values to out, sorted,
// and gives how many there are. It allocates nothing. Values are spread over as
// many buckets by where they lie between the smallest and the largest, which
// leaves one or two per bucket unless they lie very unevenly.
func sortInto(out, values []float64) int {
	var kept [column.Block]float64
	n, low, high := 0, math.Inf(1), math.Inf(-1)
	for _, v := range values[:min(len(values), len(kept))] {
		if finite(v) {
			kept[n] = v
			low, high = min(low, v), max(high, v)
			n++
		}
	}
	scale := float64(n-1) / (high - low)
	if !finite(scale) || !finite(high-low) {
		copy(out, kept[:n])
		slices.Sort(out[:n]) // all equal, hardly different, or too far apart to subtract
		return n
	}
	scatter(out[:n], kept[:n], low, scale)
	return n
}

// scatter sorts values into out by bucket, then each bucket.
func scatter(out, values []float64, low, scale float64) {
	var bucket [column.Block]uint16
	var ends [column.Block + 1]uint16 // first the counts, then where the next value goes
	for i, v := range values {
		b := uint16((v - low) * scale)
		bucket[i] = b
		ends[b+1]++
	}
	for i := range values {
		ends[i+1] += ends[i]
	}
	starts := ends
	for i, v := range values {
		b := bucket[i]
		out[starts[b]] = v
		starts[b]++
	}
	for b := range values {
		sortFew(out[ends[b]:ends[b+1]])
	}
}

// sortFew sorts a bucket.
func sortFew(values []float64) {
	if len(values) > crowd {
		slices.Sort(values)
		return
	}
	for i := 1; i < len(values); i++ {
		v := values[i]
		j := i
		for ; j > 0 && values[j-1] > v; j-- {
			values[j] = values[j-1]
		}
		values[j] = v
	}
}
