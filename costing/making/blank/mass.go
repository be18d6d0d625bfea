package blank

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// discArea is the area of a round blank, in mm².
func (p plan) discArea() graph.ID {
	return circle(p.s.By("S4"), "blank", "blank", p.blankDiameter)
}

// Mass gives the mass of one blank, in g/piece; None where the stock has no
// section. Stock and blank must be [Dimensioned].
func Mass(s graph.Scope, def *bom.Blank, st Stock) graph.ID {
	return newPlan(s.Within("blank"), def, st).blankMass(st)
}

// blankMass is the mass of one blank, in g/piece, or None.
func (p plan) blankMass(st Stock) graph.ID {
	s := p.s.By("S4")
	if st.MassKg == graph.None {
		return graph.None
	}
	var volume graph.ID
	switch {
	case p.form == bom.NearNet:
		return s.Divide("blank-mass", "blank mass", st.MassG, s.One(graph.Piece))
	case p.form.Linear():
		volume = s.Multiply("blank-volume", "blank volume", p.blankLength, st.Section)
	case p.blankDiameter != graph.None:
		volume = s.Multiply("blank-volume", "blank volume", p.discArea(), st.Section)
	default:
		volume = s.Multiply("blank-volume", "blank volume", p.blankLength, p.blankWidth, st.Section)
	}
	return s.Divide("blank-mass", "blank mass", s.Multiply("blank-mass-one", "mass of one blank", volume, st.Density), s.One(graph.Piece))
}

// heavierThanBlank checks that a part is not heavier than what it is cut from.
func (p plan) heavierThanBlank(st Stock, mass graph.ID) fit {
	out := fit{count: graph.None, mass: mass, blankMass: p.blankMass(st), lighter: graph.None}
	out.lighter = p.s.By("S4").Check("mass-fits", "the finished part is not heavier than its blank", mass, graph.LessOrEqual, out.blankMass)
	return out
}

// stockUse is the share of a full piece of stock that becomes blanks, by length
// or area.
func (p plan) stockUse() {
	s := p.s.By("S1")
	if p.form == bom.NearNet { // all of it is the blank
		return
	}
	if p.form.Linear() {
		n := p.s.Known("per-bar")
		s.Divide("stock-use", "share of a bar that becomes blanks", s.Multiply("stock-used", "length of the blanks of a bar", n, p.blankLength), p.length)
		return
	}
	s = p.s.By("S2")
	n, area := p.s.Known("layout-count"), graph.None
	if n == graph.None { // there is one layout
		n = p.s.Known("layout/as-drawn/count")
	}
	if p.blankDiameter != graph.None {
		area = s.Multiply("stock-used", "area of the blanks of a sheet", n, p.discArea())
	} else {
		area = s.Multiply("stock-used", "area of the blanks of a sheet", n, p.blankLength, p.blankWidth)
	}
	s.Divide("stock-use", "share of a sheet that becomes blanks", area, s.Multiply("stock-area", "area of a sheet", p.length, p.width))
}

// keptMass is what is left over of the stock bought and kept, in kg; None where
// nothing can be.
type keptMass struct{ blanks, remnants graph.ID }

// chips is mass bought − mass of good pieces − mass kept, in kg, with the ratio of
// what was bought to what becomes good pieces beside it (buy-to-fly). All leftover
// counts as kept.
func (p plan) chips(pieces graph.ID, st Stock, kept keptMass, good, mass graph.ID) graph.ID {
	s := p.s.By("S4")
	// From the stock bought and not from the blanks: trims and ends are chips as well (S4).
	bought := s.Multiply("mass-bought", "mass of stock bought", pieces, st.MassKg)
	massKg := s.Convert("part-mass-kg", "mass of the finished part in kilograms", mass, graph.Gram, graph.Kilogram)
	parts := s.Multiply("mass-good", "mass of good pieces", good, massKg)
	// Shown only: how much of the metal paid for ends up in the product.
	s.Divide("buy-to-fly", "mass of stock bought by mass of good pieces", bought, parts)
	used := s.Subtract("mass-used", "mass of stock used", bought, s.Total("mass-kept", "mass of leftover and remnants kept", kept.blanks, kept.remnants))
	return s.Subtract("mass-chips", "chips, trims and remnants", used, parts)
}

// reclaim is chips × recovered share × price of chips.
func reclaim(s graph.Scope, st Stock, chips graph.ID) graph.ID {
	if st.Reclaim == graph.None || chips == graph.None {
		return graph.None
	}
	args := []graph.ID{chips, st.Reclaim}
	if st.Recovered != graph.None {
		args = append(args, st.Recovered)
	}
	return s.Multiply("reclaim", "reclaim of chips", args...)
}
