package simulate

import "kerfbook/costing/graph/column"

// stratified fills u with numbers strictly between 0 and 1, exactly one in each
// of len(u) strata of equal width, in random order and at a random place within
// its stratum: one input of a Latin hypercube (McKay, Beckman and Conover 1979).
// len(u) is at most [column.Block].
//
// One word of the stream gives both the next step of the shuffle and the place
// within the stratum.
func stratified(s stream, u []float64) {
	var order [column.Block]uint16
	n := min(len(u), column.Block)
	u = u[:n]
	width := 1 / float64(n)
	for i := range u {
		word := s.next()
		j := below(word, i+1)
		order[i] = order[j]
		order[j] = uint16(i)
		u[i] = fraction(word)
	}
	for i := range u {
		u[i] = (float64(order[i]) + u[i]) * width
	}
}
