package shape

import "math"

// normal is the bell curve around likely, cut off at low and high. With z the
// distance from likely in deviations, W = Φ(zb) − Φ(za) is what the window holds
// of it.
type normal struct {
	s      Spread
	za, zb float64 // the window, in deviations
	whole  float64 // W
}

// reach is how far from likely a window is looked at, in deviations: beyond it lies
// less than 10^-298 of the curve, and its density would lose digits.
const reach = 37.0

func newNormal(s Spread) normal {
	za, zb := math.Max((s.Low-s.Likely)/s.SD, -reach), math.Min((s.High-s.Likely)/s.SD, reach)
	return normal{s, za, zb, bellOver(za, zb-za)}
}

// start and stop are the ends of the window in the unit of the range: low and high
// themselves where they are within reach, so that nothing is lost beside them.
func (n normal) start() float64 { return math.Max(n.s.Low, n.s.Likely-reach*n.s.SD) }
func (n normal) stop() float64  { return math.Min(n.s.High, n.s.Likely+reach*n.s.SD) }

func (n normal) ends() (low, high end) {
	return end{n.start(), bellTail{n.za, n.zb, n.whole}.scaled(n.s.SD)},
		end{n.stop(), bellTail{-n.zb, -n.za, n.whole}.scaled(n.s.SD)}
}

// bellTail is the cut curve in deviations, looked at from za.
type bellTail struct{ za, zb, whole float64 }

func (b bellTail) scaled(sd float64) func(q, guess float64) (float64, float64) {
	return func(q, guess float64) (float64, float64) {
		d := b.quantile(q, guess/sd)
		return sd * d, sd * b.whole / bell(b.za+d)
	}
}

// quantile gives the distance from za within which a share q of the window lies.
func (b bellTail) quantile(q, guess float64) float64 {
	d, upper := guess, b.zb-b.za
	if !(d > 0 && d < upper) {
		d = q * b.whole / bell(b.za) // as if the density stayed as it is
		if d > 0.01 {
			d = roughly(math.Erfc(-b.za/math.Sqrt2)/2+q*b.whole) - b.za
		}
	}
	d = math.Min(math.Max(d, 0), upper)
	return halley(d, 0, upper, func(d float64) (miss, bend float64) {
		z := b.za + d
		return (bellOver(b.za, d) - q*b.whole) / bell(z), -z
	})
}

// roughly is where a share of the whole normal curve lies below, to begin with: far
// out from the leading terms of φ(z)/|z|.
func roughly(share float64) float64 {
	if share > 1e-4 {
		return math.Sqrt2 * math.Erfinv(2*share-1)
	}
	w := -2 * math.Log(share)
	return -math.Sqrt(w - math.Log(2*math.Pi*w))
}

// bell is the density of the normal curve.
func bell(z float64) float64 { return math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) }

// narrow is the width up to which eight points integrate the normal density to
// the last digits.
const narrow = 1.0

// bellOver is what of the normal curve lies within a width from a place on, with
// small relative error wherever that is.
func bellOver(from, width float64) float64 {
	to := from + width
	switch {
	case width <= narrow:
		return integrate(from, width, bell)
	case to <= 0:
		return (math.Erfc(-to/math.Sqrt2) - math.Erfc(-from/math.Sqrt2)) / 2
	case from >= 0:
		return (math.Erfc(from/math.Sqrt2) - math.Erfc(to/math.Sqrt2)) / 2
	}
	return (math.Erf(to/math.Sqrt2) - math.Erf(from/math.Sqrt2)) / 2
}

// gauss are places and weights of the eight-point Gauss–Legendre rule over
// −1 to 1, for the places above 0 (from memory; a test holds them against the
// powers they must integrate exactly).
var gauss = [4][2]float64{
	{0.1834346424956498, 0.3626837833783620},
	{0.5255324099163290, 0.3137066458778873},
	{0.7966664774136267, 0.2223810344533745},
	{0.9602898564975363, 0.1012285362903763},
}

func integrate(from, width float64, f func(float64) float64) float64 {
	half := width / 2
	middle, sum := from+half, 0.0
	for _, g := range gauss {
		sum += g[1] * (f(middle-half*g[0]) + f(middle+half*g[0]))
	}
	return sum * half
}
