package estimate_test

import (
	"math/big"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
)

var piTimes = func(r *big.Rat) *big.Rat { return ft.Times(ft.Rat("3.1415926535897932384626433832795029"), r) }

// surface is that of a piece of a part after its first operations, in dm²: of the
// outline, of all that is cut into it, and of the one piece that an assembly is
// made of.
func (r *recount) surface(p *bom.Part, done []bom.Operation) *big.Rat {
	var mm2 *big.Rat
	switch {
	case p.Finished != nil:
		f := p.Finished
		mm2 = outside(ft.Typed(f.LengthMM), f.WidthMM, f.ThicknessMM, f.DiameterMM, f.InnerDiameterMM)
	case p.Blank != nil:
		st := find(r.t, r.b.Stocks, func(s *bom.Stock) bool { return s.ID == p.Blank.Stock })
		if !st.Form.Linear() {
			r.t.Fatalf("%s: the demo treats nothing cut from a sheet without finished dimensions", p.Number)
		}
		mm2 = outside(ft.Typed(p.Blank.LengthMM), st.WidthMM, st.ThicknessMM, st.DiameterMM, st.InnerDiameterMM)
	default:
		child := r.def(p.Children[0].Part)
		mm2 = ft.Times(r.surface(child, child.Routing), ft.Rat("10000"))
	}
	for i := range done {
		for j := range done[i].Features {
			mm2 = ft.Plus(mm2, r.gained(p, &done[i], &done[i].Features[j]))
		}
	}
	return ft.Over(mm2, ft.Rat("10000"))
}

// outside is the surface of a box, six sides one by one, or of a round piece: its
// shells, and twice the ring or disc at its ends.
func outside(length *big.Rat, width, thickness, diameter, inner *bom.Number) *big.Rat {
	if diameter == nil {
		w, h, sum := ft.Typed(width), ft.Typed(thickness), new(big.Rat)
		for _, side := range [][2]*big.Rat{{length, w}, {w, h}, {h, length}} {
			one := ft.Times(side[0], side[1])
			sum = ft.Plus(sum, one, one)
		}
		return sum
	}
	d, hole := ft.Typed(diameter), ft.Typed(inner)
	shells := piTimes(ft.Times(ft.Plus(d, hole), length))
	end := piTimes(ft.Minus(ft.Times(ft.Over(d, ft.Rat("2")), ft.Over(d, ft.Rat("2"))), ft.Times(ft.Over(hole, ft.Rat("2")), ft.Over(hole, ft.Rat("2")))))
	return ft.Plus(shells, end, end)
}

// gained is what a feature adds to the surface in mm², negative where it takes
// away. What only shapes the outline does not count beside finished dimensions.
func (r *recount) gained(p *bom.Part, op *bom.Operation, f *bom.Feature) *big.Rat {
	l, w, h, d := ft.Typed(f.LengthMM), ft.Typed(f.WidthMM), ft.Typed(f.DepthMM), ft.Typed(f.DiameterMM)
	two := ft.Rat("2")
	one := new(big.Rat)
	switch f.Kind {
	case bom.Face, bom.FinishFace:
		if p.Finished == nil { // four sides become lower
			one = ft.Minus(one, ft.Plus(ft.Times(l, h), ft.Times(w, h), ft.Times(l, h), ft.Times(w, h)))
		}
	case bom.Pocket: // four straight walls and a whole round of corners
		corner := r.corner(op, f)
		straight := ft.Minus(ft.Plus(l, w), ft.Times(ft.Rat("4"), corner))
		one = ft.Times(h, ft.Plus(ft.Times(two, straight), piTimes(ft.Times(two, corner))))
	case bom.SlotArray: // each slot: two walls, less its outline at both ends
		s, fin := ft.Typed(f.SlotWidthMM), ft.Typed(f.FinWidthMM)
		for at := ft.Plus(fin, s, fin); at.Cmp(w) <= 0; at = ft.Plus(at, s, fin) {
			one = ft.Plus(one, ft.Minus(ft.Times(two, l, h), ft.Times(two, s, h)))
		}
	case bom.Drill:
		one = piTimes(ft.Times(d, h))
		if f.Through {
			one = ft.Minus(one, ft.Times(two, piTimes(ft.Times(ft.Over(d, two), ft.Over(d, two)))))
		}
	case bom.Contour, bom.Chamfer, bom.Tap:
	default:
		r.t.Fatalf("the demo has a %s, whose surface this recount does not know", f.Kind)
	}
	return ft.Times(one, ft.Or(f.Count, "1"))
}

// corner is the radius a pocket's corners have: the one stated, or that of the
// tool, which costs least by the second reckoning of cutting_recount_test.go.
func (r *recount) corner(op *bom.Operation, f *bom.Feature) *big.Rat {
	if f.CornerRadiusMM != nil {
		return ft.Typed(f.CornerRadiusMM)
	}
	tool := newMachinist(r.t, r.b, op).price(f).tool
	t := find(r.t, r.b.Tools, func(t *bom.Tool) bool { return t.ID == tool })
	return ft.Over(ft.Typed(t.DiameterMM), ft.Rat("2"))
}
