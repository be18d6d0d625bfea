package simulate

import (
	"math/bits"

	"kerfbook/costing/graph/column"
)

// stream is a generator of random words: a counter that is scrambled. Its words
// depend on where it starts only, so that streams need no common state. The
// scrambler is the finaliser of SplitMix64 (Steele, Lea and Flood 2014; constants
// from memory).
type stream struct{ at uint64 }

const golden = 0x9e3779b97f4a7c15 // 2^64 ÷ the golden ratio, odd

// salts tell apart the samples that one seed is used for.
const (
	saltDraws uint64 = iota + 1 // the draws of Run, sample A of Shares
	saltOther                   // sample B of Shares
)

// streamOf starts the stream of one input in one block.
func streamOf(seed, salt uint64, block int, key uint64) stream {
	at := scramble(seed + golden)
	at = scramble(at ^ scramble(salt*golden))
	at = scramble(at ^ scramble(uint64(block)+1))
	return stream{scramble(at ^ key)}
}

func (s *stream) next() uint64 {
	s.at += golden
	return scramble(s.at)
}

func scramble(z uint64) uint64 {
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// keyHash turns the key of a figure into a number: FNV-1a of its bytes,
// scrambled.
func keyHash(key string) uint64 {
	h := uint64(14695981039346656037)
	for i := range len(key) {
		h = (h ^ uint64(key[i])) * 1099511628211
	}
	return scramble(h)
}

// below gives a number from 0 to n−1 from the upper half of a word. The lower
// half stays free for another use. The bias is below n ÷ 2^32.
func below(word uint64, n int) int {
	high, _ := bits.Mul64(word&^0xffffffff, uint64(n))
	return int(high)
}

// fraction gives a number strictly between 0 and 1 from the lower half of a word.
func fraction(word uint64) float64 {
	return (float64(uint32(word)) + 0.5) / (1 << 32)
}

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
