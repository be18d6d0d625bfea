package column

import "testing"

// TestLeastOfZeros has zeros of both signs, which are equal: the first is least.
func TestLeastOfZeros(t *testing.T) {
	t.Parallel()
	out, zero, below := make([]float64, 9), make([]float64, 9), make([]float64, 9)
	for i := range below {
		below[i] = -1e-12 // snaps to −0
	}
	loopLeast(out, [][]float64{zero, below})
	for i, v := range out {
		if v != 1 {
			t.Errorf("number %d: %v is least, want 1", i, v)
		}
	}
}
