package curve

import "testing"

// TestDoubtfulOrder: figures that are apart by less than they are off are in doubt where one of
// them may be snapped the other way; the same figure got twice is off by its last binary digit.
func TestDoubtfulOrder(t *testing.T) {
	t.Parallel()
	const near, far = 12.34567890155, 12.345678903 // half a step of the ninth place, and a step and more beyond
	for _, c := range []struct {
		a, b  float64
		doubt bool
	}{{near, near, false}, {near, near + 1e-12, true}, {near + 1e-12, near, true}, {near, far, false}, {12.3456789012, 12.3456789013, false}, {2, 12, false}} {
		if got := doubtfulOrder(c.a, c.b); got != c.doubt {
			t.Errorf("%.13f and %.13f: doubt %t", c.a, c.b, got)
		}
	}
}
