package shape

import "math"

// constant is a range without width.
type constant struct{ value float64 }

func (c constant) below(x float64) float64 {
	if x < c.value {
		return 0
	}
	return 1
}
func (c constant) mean() float64      { return c.value }
func (c constant) deviation() float64 { return 0 }
func (c constant) ends() (low, high end) {
	none := func(float64, float64) (float64, float64) { return 0, 0 }
	return end{c.value, none}, end{c.value, none}
}

// uniform has the mean (a+b)/2 and the variance (b−a)²/12.
type uniform struct{ s Spread }

func (u uniform) width() float64          { return u.s.High - u.s.Low }
func (u uniform) below(x float64) float64 { return (x - u.s.Low) / u.width() }
func (u uniform) mean() float64           { return u.s.Low + u.width()/2 }
func (u uniform) deviation() float64      { return u.width() / math.Sqrt(12) }
func (u uniform) ends() (low, high end) {
	even := func(q, _ float64) (float64, float64) { return q * u.width(), u.width() }
	return end{u.s.Low, even}, end{u.s.High, even}
}

// triangular has the mean (a+m+b)/3, the variance
// (a²+m²+b²−am−ab−mb)/18 and, with the share F = (m−a)/(b−a) below likely, the
// quantiles a + √(p(b−a)(m−a)) up to F and b − √((1−p)(b−a)(b−m)) from there on.
type triangular struct {
	s            Spread
	width, share float64
}

func newTriangular(s Spread) triangular {
	width := s.High - s.Low
	return triangular{s, width, (s.Likely - s.Low) / width}
}

func (t triangular) below(x float64) float64 {
	d := (x - t.s.Low) / t.width
	if x <= t.s.Likely && t.share > 0 {
		return d * d / t.share
	}
	if d <= 0.5 {
		return (d*(2-d) - t.share) / (1 - t.share)
	}
	d = (t.s.High - x) / t.width
	return 1 - d*d/(1-t.share)
}

func (t triangular) mean() float64 { return t.s.Low + t.width*(1+t.share)/3 }

func (t triangular) deviation() float64 {
	return t.width * math.Sqrt((1-t.share*(1-t.share))/18)
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
