package shape

import "math"

// Sampler maps uniform numbers to values of a range. It is made once and may be
// used by any number of goroutines.
type Sampler struct{ fill func(u, out []float64) }

// Sampler prepares a sampler, which takes less than a millisecond.
func (s Spread) Sampler() *Sampler {
	switch c := s.curve().(type) {
	case constant:
		return &Sampler{c.fill}
	case uniform:
		return &Sampler{c.fill}
	case triangular:
		return &Sampler{c.filler()}
	default:
		low, high := c.ends()
		return &Sampler{newTable(s, low, high).fill}
	}
}

// Fill writes to out the value for each uniform number of u, 0 to 1; out is at
// least as long as u and may be u itself. It allocates nothing. Triangular and
// uniform values are exact; the others are within 1e-8 of the width and, for a
// normal shape, of the deviation.
func (p *Sampler) Fill(u, out []float64) { p.fill(u, out[:len(u)]) }

func (c constant) fill(u, out []float64) {
	for i := range u {
		out[i] = c.value
	}
}

func (f uniform) fill(u, out []float64) {
	low, width := f.s.Low, f.width()
	for i, v := range u {
		out[i] = low + width*v
	}
}

// half is how one side of a triangle is filled, for shares counted from its end:
// base + sign·√((from + sign·u)·scale).
type half struct{ from, sign, scale, base float64 }

// filler takes the side by the sign of u − F as an index instead of a branch,
// which uniform numbers would make the processor guess wrong.
func (t triangular) filler() func(u, out []float64) {
	halves := [2]half{
		{1, -1, t.width * (t.s.High - t.s.Likely), t.s.High},
		{0, 1, t.width * (t.s.Likely - t.s.Low), t.s.Low},
	}
	share := t.share
	return func(u, out []float64) {
		out = out[:len(u)] // one check instead of one for each
		for i, v := range u {
			h := &halves[math.Float64bits(v-share)>>63]
			out[i] = h.base + h.sign*math.Sqrt((h.from+h.sign*v)*h.scale)
		}
	}
}
