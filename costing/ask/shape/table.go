package shape

import "math"

// A table holds the quantile function as cubic pieces, each meeting value and
// slope at its ends. The pieces get narrower towards both ends of the range in the
// proportion of the share left, since there the function bends without limit:
// every doubling of the share is cut into 2^pieceBits pieces. Which piece a share
// falls into is read off the leading bits of its float64.
type table struct {
	spread    Spread
	low, high end
	pieces    [2 * pieces]piece // those of the high end, then those of the low end, by rising share
}

// piece gives x = c0 + r(c1 + r(c2 + r·c3)), r the share beyond its beginning.
type piece struct{ c0, c1, c2, c3 float64 }

const (
	pieceBits = 5
	doublings = 19 // shares from 2^-20 to 2^-1; what is smaller is solved each time
	pieces    = doublings << pieceBits
	cut       = 52 - pieceBits // bits of a float64 below the number of its piece
)

// firstPiece is the number of the piece that begins at 2^-20.
var firstPiece = math.Float64bits(math.Ldexp(1, -1-doublings)) >> cut

func newTable(s Spread, low, high end) *table {
	t := &table{spread: s, low: low, high: high}
	fit(t.pieces[:pieces], high, -1)
	fit(t.pieces[pieces:], low, 1)
	return t
}

// fit makes the pieces of one end; sign is −1 where values lie below the start.
func fit(out []piece, e end, sign float64) {
	from := shareAt(0)
	d0, slope0 := e.distance(from, 0)
	guess := d0 + slope0*(shareAt(1)-from)
	for i := range out {
		to := shareAt(i + 1)
		h := to - from
		d1, slope1 := e.distance(to, guess)
		rise := (d1 - d0) / h
		p := piece{d0, slope0, (3*rise - 2*slope0 - slope1) / h, (slope0 + slope1 - 2*rise) / (h * h)}
		guess = p.at(shareAt(i+2) - from) // the piece goes on nearly as it is
		out[i] = piece{e.start + sign*p.c0, sign * p.c1, sign * p.c2, sign * p.c3}
		from, d0, slope0 = to, d1, slope1
	}
}

func (p *piece) at(r float64) float64 { return p.c0 + r*(p.c1+r*(p.c2+r*p.c3)) }

// shareAt is the share at which a piece begins.
func shareAt(i int) float64 { return math.Float64frombits((firstPiece + uint64(i)) << cut) }

// fold are the two sides: share = from + sign·u.
var fold = [2]struct{ from, sign float64 }{{1, -1}, {0, 1}}

func (t *table) fill(u, out []float64) {
	first := firstPiece
	out = out[:len(u)] // one check instead of one for each
	for i, v := range u {
		below := math.Float64bits(v-0.5) >> 63
		share := fold[below].from + fold[below].sign*v
		bits := math.Float64bits(share)
		at := bits>>cut - first
		if at >= pieces {
			out[i] = t.exact(v)
			continue
		}
		r := share - math.Float64frombits(bits>>cut<<cut)
		out[i] = t.pieces[below*pieces+at].at(r)
	}
}

// exact solves for a share outside the table.
func (t *table) exact(p float64) float64 {
	switch {
	case math.IsNaN(p):
		return p
	case p <= 0:
		return t.spread.Low
	case p >= 1:
		return t.spread.High
	}
	return t.spread.at(t.low, t.high, p)
}
