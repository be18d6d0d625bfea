package blank

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/purchase"
)

// Charge is what the blanks of one batch cost, in the currency of the book.
type Charge struct {
	Stock   graph.ID // charged after leftover credit (S3)
	Reclaim graph.ID // brought back by chips (S4); None without a price for them
}

// Dimensioned reports whether stock and blank have the dimensions that blanks are
// counted with.
func Dimensioned(st *bom.Stock, def *bom.Blank) bool {
	switch {
	case st.Form.Linear():
		return def.LengthMM != nil
	case st.WidthMM == nil:
		return false
	default:
		return def.DiameterMM != nil || def.LengthMM != nil && def.WidthMM != nil
	}
}

// Build writes the blanks of one part: how many a piece of stock yields, what
// stock the batch needs, and what its chips bring back. start is in whole
// pieces, good is the number of good pieces wanted, mass is g/piece of the
// finished part or None. Stock and blank must be [Dimensioned].
func Build(s graph.Scope, def *bom.Blank, st Stock, start, good, mass graph.ID) Charge {
	s = s.Within("blank")
	p := newPlan(s, def, st)
	perStock := p.perStock()
	exact := s.By("S3").Divide("stock-exact", "pieces of stock before rounding", start, perStock)
	need := s.By("S3").Whole("stock-needed", "pieces of stock needed", exact)
	order := purchase.Build(s, purchase.Need{Quantity: need, MassKg: st.MassKg, LengthM: st.LengthM}, st.Offers)

	left := leftover(s.By("S3"), order, perStock, start)
	charged := order.Cost
	if def.LeftoverValue != nil {
		at := s.By("S3")
		value := at.Number("leftover-value", "share of the price credited for leftover", graph.Plain, *def.LeftoverValue, "leftover_value")
		blanks := at.Multiply("blanks-bought", "blanks in the stock bought", order.Bought, perStock)
		charged = purchase.Credit(at, order, left, purchase.PricePaid(at, left, order.Cost, blanks), value)
	}
	p.heavierThanBlank(st, mass)
	return Charge{Stock: charged, Reclaim: p.reclaim(st, order, perStock, left, good, mass)}
}

func newPlan(s graph.Scope, def *bom.Blank, st Stock) plan {
	number := func(name, label string, n *bom.Number, path string) graph.ID {
		return s.Optional(name, label, graph.Mm, n, path)
	}
	return plan{
		s: s, form: st.Def.Form, grain: def.Grain, length: st.Length, width: st.Width,
		blankLength:   number("blank-length", "blank length", def.LengthMM, "length_mm"),
		blankWidth:    number("blank-width", "blank width", def.WidthMM, "width_mm"),
		blankDiameter: number("blank-diameter", "blank diameter", def.DiameterMM, "diameter_mm"),
		kerf:          number("kerf", "kerf", def.KerfMM, "kerf_mm"),
		trim:          number("trim", "trim per bar", def.TrimMM, "trim_mm"),
		grip:          number("grip", "length held in the grip", def.GripMM, "grip_mm"),
		margin:        number("margin", "margin along each edge", def.MarginMM, "margin_mm"),
	}
}

// leftover is the number of whole blanks that remain, those of a part-used piece
// of stock included. Stock bought by mass or length may end in a part of a
// piece, which yields no blank.
func leftover(s graph.Scope, order purchase.Order, perStock, start graph.ID) graph.ID {
	whole := s.Floor("stock-whole", "whole pieces of stock bought", order.Bought, s.One(graph.Plain))
	yielded := s.Multiply("blanks-available", "blanks in the whole pieces bought", whole, perStock)
	return s.Subtract("leftover", "blanks left over", yielded, start)
}

// blankMass is the mass of one blank, in g/piece, or None.
func (p plan) blankMass(st Stock) graph.ID {
	s := p.s.By("S4")
	if st.Section == graph.None {
		return graph.None
	}
	var volume graph.ID
	switch {
	case p.form.Linear():
		volume = s.Multiply("blank-volume", "blank volume", p.blankLength, st.Section)
	case p.blankDiameter != graph.None:
		volume = s.Multiply("blank-volume", "blank volume", circle(s, "blank", "blank", p.blankDiameter), st.Section)
	default:
		volume = s.Multiply("blank-volume", "blank volume", p.blankLength, p.blankWidth, st.Section)
	}
	return s.Divide("blank-mass", "blank mass", s.Multiply("blank-mass-one", "mass of one blank", volume, st.Density), s.One(graph.Piece))
}

// heavierThanBlank checks that a part is not heavier than what it is cut from.
func (p plan) heavierThanBlank(st Stock, mass graph.ID) {
	blank := p.blankMass(st)
	if blank != graph.None && mass != graph.None {
		p.s.By("S4").Check("mass-fits", "the finished part is not heavier than its blank", mass, graph.LessOrEqual, blank)
	}
}

// reclaim is (mass bought − mass of good pieces − mass of leftover blanks) ×
// recovered share × price of chips. All leftover counts as kept.
func (p plan) reclaim(st Stock, order purchase.Order, perStock, left, good, mass graph.ID) graph.ID {
	if st.Reclaim == graph.None || mass == graph.None || st.MassKg == graph.None {
		return graph.None
	}
	s := p.s.By("S4")
	bought := s.Multiply("mass-bought", "mass of stock bought", order.Bought, st.MassKg)
	massKg := s.Convert("part-mass-kg", "mass of the finished part in kilograms", mass, graph.Gram, graph.Kilogram)
	parts := s.Multiply("mass-good", "mass of good pieces", good, massKg)
	each := s.Divide("mass-per-blank", "mass of stock per blank", st.MassKg, perStock)
	kept := s.Multiply("mass-leftover", "mass of leftover blanks", left, each)
	used := s.Subtract("mass-used", "mass of stock used", bought, kept)
	chips := s.Subtract("mass-chips", "chips, trims and remnants", used, parts)
	args := []graph.ID{chips, st.Reclaim}
	if st.Recovered != graph.None {
		args = append(args, st.Recovered)
	}
	return s.Multiply("reclaim", "reclaim of chips", args...)
}
