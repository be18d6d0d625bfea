package simulate

import (
	"math"
	"slices"
	"testing"

	"kerfbook/costing/graph/column"
)

func draws(seed uint64, block int, key string) []float64 {
	u := make([]float64, column.Block)
	stratified(streamOf(seed, saltDraws, block, keyHash(key)), u)
	return u
}

// TestStrata finds exactly one number in each stratum, none at an end.
func TestStrata(t *testing.T) {
	t.Parallel()
	for _, n := range []int{1, 2, 7, 1000, column.Block} {
		u := make([]float64, n)
		for block := range 50 {
			stratified(streamOf(9, saltDraws, block, 5), u)
			slices.Sort(u)
			for i, v := range u {
				if int(v*float64(n)) != i || v <= 0 || v >= 1 {
					t.Fatalf("n %d, block %d: number %d is %v", n, block, i, v)
				}
			}
		}
	}
}

// TestOrderIsRandom counts which stratum comes at which place, coarsely, and
// where in its stratum a number lies: chi-squared tests with 255 degrees of
// freedom, whose standard deviation is √510.
func TestOrderIsRandom(t *testing.T) {
	t.Parallel()
	const blocks, cells = 400, 16
	var places [cells * cells]int
	var jitter [256]int
	for b := range blocks {
		for i, v := range draws(1, b, "x") {
			places[i*cells/column.Block*cells+int(v*cells)]++
			_, part := math.Modf(v * column.Block)
			jitter[int(part*256)]++
		}
	}
	// Within a block each row and column of cells is full to the number, which
	// takes 31 of the 255 degrees of freedom away.
	if x := chiSquared(places[:], blocks*column.Block); math.Abs(x-225*float64(column.Block)/(column.Block-1)) > 5*math.Sqrt(450) {
		t.Errorf("order: chi-squared %.1f, want about 225", x)
	}
	if x := chiSquared(jitter[:], blocks*column.Block); math.Abs(x-255) > 5*math.Sqrt(510) {
		t.Errorf("place within the stratum: chi-squared %.1f, want about 255", x)
	}
}

func chiSquared(counts []int, total int) (sum float64) {
	want := float64(total) / float64(len(counts))
	for _, c := range counts {
		sum += (float64(c) - want) * (float64(c) - want) / want
	}
	return sum
}

// TestStreamsAreUnrelated correlates streams that differ in one thing only, over
// many blocks.
func TestStreamsAreUnrelated(t *testing.T) {
	t.Parallel()
	const blocks = 200
	for name, other := range map[string]func(b int) []float64{
		"key":   func(b int) []float64 { return draws(1, b, "y") },
		"seed":  func(b int) []float64 { return draws(2, b, "x") },
		"block": func(b int) []float64 { return draws(1, b+1, "x") },
		"salt": func(b int) []float64 {
			u := make([]float64, column.Block)
			stratified(streamOf(1, saltOther, b, keyHash("x")), u)
			return u
		},
	} {
		sum := 0.0
		for b := range blocks {
			u, v := draws(1, b, "x"), other(b)
			for i := range u {
				sum += (u[i] - 0.5) * (v[i] - 0.5) * 12
			}
		}
		n := float64(blocks * column.Block)
		if r := sum / n; math.Abs(r) > 4/math.Sqrt(n) {
			t.Errorf("streams that differ in %s correlate by %.5f", name, r)
		}
	}
}

// BenchmarkStratified gives the time per number of generator, shuffle and place.
func BenchmarkStratified(b *testing.B) {
	u := make([]float64, column.Block)
	block := 0
	for b.Loop() {
		stratified(streamOf(1, saltDraws, block, 4), u)
		block++
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/column.Block, "ns/number")
}
