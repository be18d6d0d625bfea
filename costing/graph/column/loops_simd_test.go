//go:build goexperiment.simd && amd64

package column

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"kerfbook/costing/graph"
)

// loopCalls calls every loop of a set with five columns and four numbers.
var loopCalls = map[string]func(l loops, c [5][]float64, k [4]float64){
	"linear1": func(l loops, c [5][]float64, k [4]float64) { l.linear1(c[0], c[1], k[0], k[1]) },
	"linear2": func(l loops, c [5][]float64, k [4]float64) { l.linear2(c[0], c[1], c[2], k[0], k[1], k[2]) },
	"linear3": func(l loops, c [5][]float64, k [4]float64) { l.linear3(c[0], c[1], c[2], c[3], k[0], k[1], k[2], k[3]) },
	"linear4": func(l loops, c [5][]float64, k [4]float64) {
		l.linear4(c[0], c[1], c[2], c[3], c[4], 7, k[0], k[1], k[2], k[3])
	},
	"addLinear1": func(l loops, c [5][]float64, k [4]float64) { l.addLinear1(c[0], c[1], k[0]) },
	"addLinear2": func(l loops, c [5][]float64, k [4]float64) { l.addLinear2(c[0], c[1], c[2], k[0], k[1]) },
	"addLinear3": func(l loops, c [5][]float64, k [4]float64) { l.addLinear3(c[0], c[1], c[2], c[3], k[0], k[1], k[2]) },
	"addLinear4": func(l loops, c [5][]float64, k [4]float64) {
		l.addLinear4(c[0], c[1], c[2], c[3], c[4], k[0], k[1], k[2], k[3])
	},
	"product":     func(l loops, c [5][]float64, k [4]float64) { l.product(c[0], c[1], c[2], k[0], k[1]) },
	"addProduct":  func(l loops, c [5][]float64, k [4]float64) { l.addProduct(c[0], c[1], c[2], k[0]) },
	"reciprocals": func(l loops, c [5][]float64, k [4]float64) { l.reciprocals(c[0], c[1]) },
	"minimum":     func(l loops, c [5][]float64, k [4]float64) { l.minimum(c[0], c[1], c[2]) },
	"maximum":     func(l loops, c [5][]float64, k [4]float64) { l.maximum(c[0], c[1], c[2]) },
	"minimumOf":   func(l loops, c [5][]float64, k [4]float64) { l.minimumOf(c[0], c[1], k[0]) },
	"maximumOf":   func(l loops, c [5][]float64, k [4]float64) { l.maximumOf(c[0], c[1], k[0]) },
	"floors":      func(l loops, c [5][]float64, k [4]float64) { l.floors(c[0], c[1], 20, k[0], 0.05) },
	"ceilings":    func(l loops, c [5][]float64, k [4]float64) { l.ceilings(c[0], c[1], 20, k[0], 0.05) },
	"rounds":      func(l loops, c [5][]float64, k [4]float64) { l.rounds(c[0], c[1], 20, k[0], 0.05) },
	"evens":       func(l loops, c [5][]float64, k [4]float64) { l.evens(c[0], c[1], 20, k[0], 0.05) },
	"within": func(l loops, c [5][]float64, k [4]float64) {
		l.within(c[0], c[1], c[2], c[3], min(k[0], k[1]), max(k[0], k[1]))
	},
	"ordered": func(l loops, c [5][]float64, k [4]float64) {
		l.ordered(c[0], c[1], c[2], c[3], c[4], testOf(graph.Comparison(uint(math.Abs(k[0]))%6)))
	},
	"lookUp": func(l loops, c [5][]float64, k [4]float64) {
		l.lookUp(c[0], c[1], []float64{-1.0000000005, 0.9999999995, 2.9999999995}, k[:])
	},
	"least": func(l loops, c [5][]float64, k [4]float64) { l.least(c[0], [][]float64{c[1], c[2], c[3], c[4]}) },
	"pick":  func(l loops, c [5][]float64, k [4]float64) { l.pick(c[0], c[1], [][]float64{c[2], c[3], c[4]}) },
}

// TestVectorsEqualPlainLoops gives every loop of both sets the same columns, bit
// by bit: ordinary numbers, numbers on and beside steps and ties, zeros of both
// signs and undefined ones, of every length to ten fours and their rests.
func TestVectorsEqualPlainLoops(t *testing.T) {
	t.Parallel()
	if n := reflect.TypeFor[loops]().NumField(); n != len(loopCalls) {
		t.Errorf("%d loops, %d called", n, len(loopCalls))
	}
	rnd := rand.New(rand.NewPCG(9, 9))
	for name, call := range loopCalls {
		for trial := range 800 {
			var c, d [5][]float64
			n := trial % 43
			for i := range c {
				c[i] = awkward(rnd, n)
				d[i] = append([]float64(nil), c[i]...)
			}
			k := [4]float64(awkward(rnd, 4))
			call(plain, c, k)
			call(fast, d, k)
			for i, want := range c[0] {
				got := d[0][i]
				if math.Float64bits(got) != math.Float64bits(want) && (got == got || want == want) {
					t.Fatalf("%s of %v, %v: %v, plain %v", name, c[1][i], k, got, want)
				}
			}
		}
	}
}

// awkward gives numbers that are hard on loops.
func awkward(rnd *rand.Rand, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		whole := float64(rnd.IntN(9) - 4)
		switch rnd.IntN(8) {
		case 0:
			out[i] = whole
		case 1:
			out[i] = whole + 0.5
		case 2:
			out[i] = whole + float64(rnd.IntN(21)-10)*1e-10
		case 3:
			out[i] = whole * 0.05
		case 4:
			out[i] = math.Copysign(0, whole)
		case 5:
			out[i] = math.NaN()
		case 6:
			out[i] = (rnd.Float64() - 0.5) * math.Pow(10, float64(rnd.IntN(40)-20))
		default:
			out[i] = rnd.Float64()*10 - 3
		}
	}
	return out
}
