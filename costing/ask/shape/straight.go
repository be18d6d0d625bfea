package shape

import "math"

// constant is a range without width.
type constant struct{ value float64 }

func (c constant) ends() (low, high end) {
	none := func(float64, float64) (float64, float64) { return 0, 0 }
	return end{c.value, none}, end{c.value, none}
}

// uniform has every value as often.
type uniform struct{ s Spread }

func (u uniform) width() float64 { return u.s.High - u.s.Low }
func (u uniform) ends() (low, high end) {
	even := func(q, _ float64) (float64, float64) { return q * u.width(), u.width() }
	return end{u.s.Low, even}, end{u.s.High, even}
}

// triangular has, with the share F = (m−a)/(b−a) below likely, the quantiles
// a + √(p(b−a)(m−a)) up to F and b − √((1−p)(b−a)(b−m)) from there on.
type triangular struct {
	s            Spread
	width, share float64
}

func newTriangular(s Spread) triangular {
	width := s.High - s.Low
	return triangular{s, width, (s.Likely - s.Low) / width}
}

func (t triangular) ends() (low, high end) {
	return end{t.s.Low, side(t.width, t.share)}, end{t.s.High, side(t.width, 1-t.share)}
}

// side looks from an end whose slope of the triangle holds a share near.
func side(width, near float64) func(q, _ float64) (float64, float64) {
	return func(q, _ float64) (float64, float64) {
		if q <= near {
			root := math.Sqrt(q * near)
			return width * root, width * near / (2 * root)
		}
		root := math.Sqrt((1 - q) * (1 - near)) // and 1 − root, without cancelling
		return width * (q + near*(1-q)) / (1 + root), width * (1 - near) / (2 * root)
	}
}
