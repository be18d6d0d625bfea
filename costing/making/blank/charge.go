package blank

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/making/purchase"
)

// Charge is what the blanks of one batch cost, in the currency of the book.
type Charge struct {
	Stock   graph.ID // charged after leftover credit (S3)
	Reclaim graph.ID // brought back by chips (S4); None without a price for them
	fit     fit
}

// Uncharged is the charge of a part whose blanks could not be counted.
func Uncharged() Charge {
	return Charge{graph.None, graph.None, fit{graph.None, graph.None, graph.None, graph.None}}
}

// Dimensioned reports whether stock and blank have the dimensions that blanks are
// counted with.
func Dimensioned(st *bom.Stock, def *bom.Blank) bool {
	switch {
	case st.Form == bom.NearNet:
		return st.MassG != nil || st.DiameterMM != nil || st.WidthMM != nil && st.ThicknessMM != nil
	case (st.Form == bom.Square || st.Form == bom.Hexagon) && st.AcrossFlatsMM == nil,
		st.Form == bom.Extrusion && st.SectionMM2 == nil && st.MassKgM == nil,
		st.Form == bom.Tube && (st.DiameterMM == nil || st.InnerDiameterMM == nil),
		st.Form == bom.Bar && st.DiameterMM == nil && (st.WidthMM == nil || st.ThicknessMM == nil):
		return false
	case st.Form.Linear():
		return def.LengthMM != nil
	case st.WidthMM == nil || st.ThicknessMM == nil:
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
	p.stockUse()
	// Pieces are bought whole; remnants are of those that are used, in parts too.
	exact := s.By("S3").Divide("stock-exact", "pieces of stock before rounding", start, perStock)
	need := s.By("S3").Whole("stock-needed", "pieces of stock needed", exact)
	// An offer may ask for more than the need (least quantity, packs): what is left over
	// counts from what is bought.
	order := purchase.Build(s, purchase.Need{Quantity: need, MassKg: st.MassKg, LengthM: st.LengthM}, st.Offers)

	at := s.By("S3")
	left := leftover(at, order, perStock, start)
	remnants := p.remnants(exact)
	charged := order.Cost
	// Without an entered value leftover is kept and not credited: a shop that does not
	// expect to use it has paid for it with this batch.
	if def.LeftoverValue != nil {
		value := at.Number("leftover-value", "share of the price credited for leftover", graph.Plain, *def.LeftoverValue, "leftover_value")
		blanks := at.Multiply("blanks-bought", "blanks in the stock bought", order.Bought, perStock)
		charged = purchase.Credit(at, order, left, purchase.PricePaid(at, left, order.Cost, blanks), value)
		charged = remnantCredit(at, order, charged, remnants, value)
	}
	out := Charge{Stock: charged, Reclaim: graph.None, fit: p.heavierThanBlank(st, mass)}
	out.fit.count = perStock
	if mass != graph.None && st.MassKg != graph.None {
		s := s.By("S4")
		each := s.Divide("mass-per-blank", "mass of stock per blank", st.MassKg, perStock)
		kept := keptMass{s.Multiply("mass-leftover", "mass of leftover blanks", left, each), s.Multiply("mass-remnants", "mass of remnants kept", remnants, st.MassKg)}
		out.Reclaim = reclaim(s, st, p.chips(order.Bought, st, kept, good, mass))
	}
	return out
}

func newPlan(s graph.Scope, def *bom.Blank, st Stock) plan {
	number := func(name, label string, n *bom.Number, path string) graph.ID {
		return s.Optional(name, label, graph.Mm, n, path) // the surface of the part may have come first
	}
	return plan{
		s: s, form: st.Def.Form, grain: def.Grain, length: st.Length, width: st.Width,
		blankLength:   number("blank-length", "blank length", def.LengthMM, "length_mm"),
		blankWidth:    number("blank-width", "blank width", def.WidthMM, "width_mm"),
		blankDiameter: number("blank-diameter", "blank diameter", def.DiameterMM, "diameter_mm"),
		kerf:          number("kerf", "kerf", def.KerfMM, "kerf_mm"),
		trim:          number("end-cut", "end cut per bar", def.EndCutMM, "end_cut_mm"),
		grip:          number("bar-end", "bar end that is held", def.BarEndMM, "bar_end_mm"),
		margin:        number("margin", "margin along each edge", def.MarginMM, "margin_mm"),
		keep:          number("keep-remnant", "least size of a remnant that is kept", def.KeepRemnantMM, "keep_remnant_mm"),
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
