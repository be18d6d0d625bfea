package estimate_test

import (
	"math/big"

	"kerfbook/bom"
)

var piTimes = func(r *big.Rat) *big.Rat { return multiply(rat("3.1415926535897932384626433832795029"), r) }

// surface is that of a piece of a part after its first operations, in dm²: of the
// outline, of all that is cut into it, and of the one piece that an assembly is
// made of.
func (r *recount) surface(p *bom.Part, done []bom.Operation) *big.Rat {
	var mm2 *big.Rat
	switch {
	case p.Finished != nil:
		f := p.Finished
		mm2 = outside(or(f.LengthMM, "0"), f.WidthMM, f.ThicknessMM, f.DiameterMM, f.InnerDiameterMM)
	case p.Blank != nil:
		st := find(r.t, r.b.Stocks, func(s *bom.Stock) bool { return s.ID == p.Blank.Stock })
		if !st.Form.Linear() {
			r.t.Fatalf("%s: the demo treats nothing cut from a sheet without finished dimensions", p.Number)
		}
		mm2 = outside(or(p.Blank.LengthMM, "0"), st.WidthMM, st.ThicknessMM, st.DiameterMM, st.InnerDiameterMM)
	default:
		child := r.def(p.Children[0].Part)
		mm2 = multiply(r.surface(child, child.Routing), rat("10000"))
	}
	for i := range done {
		for j := range done[i].Features {
			mm2 = plus(mm2, r.gained(p, &done[i], &done[i].Features[j]))
		}
	}
	return divide(mm2, rat("10000"))
}

// outside is the surface of a box, six sides one by one, or of a round piece: its
// shells, and twice the ring or disc at its ends.
func outside(length *big.Rat, width, thickness, diameter, inner *bom.Number) *big.Rat {
	if diameter == nil {
		w, h, sum := or(width, "0"), or(thickness, "0"), new(big.Rat)
		for _, side := range [][2]*big.Rat{{length, w}, {w, h}, {h, length}} {
			one := multiply(side[0], side[1])
			sum = plus(sum, plus(one, one))
		}
		return sum
	}
	d, hole := or(diameter, "0"), or(inner, "0")
	shells := piTimes(multiply(plus(d, hole), length))
	end := piTimes(less(multiply(divide(d, rat("2")), divide(d, rat("2"))), multiply(divide(hole, rat("2")), divide(hole, rat("2")))))
	return plus(shells, plus(end, end))
}

// gained is what a feature adds to the surface in mm², negative where it takes
// away. What only shapes the outline does not count beside finished dimensions.
func (r *recount) gained(p *bom.Part, op *bom.Operation, f *bom.Feature) *big.Rat {
	l, w, h, d := or(f.LengthMM, "0"), or(f.WidthMM, "0"), or(f.DepthMM, "0"), or(f.DiameterMM, "0")
	two := rat("2")
	one := new(big.Rat)
	switch f.Kind {
	case bom.Face, bom.FinishFace:
		if p.Finished == nil { // four sides become lower
			one = less(one, plus(plus(multiply(l, h), multiply(w, h)), plus(multiply(l, h), multiply(w, h))))
		}
	case bom.Pocket: // four straight walls and a whole round of corners
		corner := r.corner(op, f)
		straight := less(plus(l, w), multiply(rat("4"), corner))
		one = multiply(h, plus(multiply(two, straight), piTimes(multiply(two, corner))))
	case bom.SlotArray: // each slot: two walls, less its outline at both ends
		s, fin := or(f.SlotWidthMM, "0"), or(f.FinWidthMM, "0")
		for at := plus(fin, plus(s, fin)); at.Cmp(w) <= 0; at = plus(at, plus(s, fin)) {
			one = plus(one, less(multiply(two, multiply(l, h)), multiply(two, multiply(s, h))))
		}
	case bom.Drill:
		one = piTimes(multiply(d, h))
		if f.Through {
			one = less(one, multiply(two, piTimes(multiply(divide(d, two), divide(d, two)))))
		}
	case bom.Contour, bom.Chamfer, bom.Tap:
	default:
		r.t.Fatalf("the demo has a %s, whose surface this recount does not know", f.Kind)
	}
	return multiply(one, or(f.Count, "1"))
}

// corner is the radius a pocket's corners have: the one stated, or that of the
// tool, which costs least by the second reckoning of cutting_recount_test.go.
func (r *recount) corner(op *bom.Operation, f *bom.Feature) *big.Rat {
	if f.CornerRadiusMM != nil {
		return or(f.CornerRadiusMM, "0")
	}
	tool := newMachinist(r.t, r.b, op).price(f).tool
	t := find(r.t, r.b.Tools, func(t *bom.Tool) bool { return t.ID == tool })
	return divide(or(t.DiameterMM, "0"), rat("2"))
}
