package blank

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/making/purchase"
	"kerfbook/costing/rates"
)

// Stock is a stock as figures; its nodes are shared by all parts cut from it.
type Stock struct {
	Def           *bom.Stock
	MassG         graph.ID // g of one piece of stock
	Length, Width graph.ID // mm; Width is None for round stock
	MassKg        graph.ID // kg of one bar, plate or sheet
	LengthM       graph.ID // m
	Section       graph.ID // mm², of bar and tube; thickness in mm of plate and sheet
	Density       graph.ID // g/mm³
	Reclaim       graph.ID // money/kg, None without a price for chips
	Recovered     graph.ID // share of chips collected, None means all
	Offers        []purchase.Offer
}

// NewStock writes the dimensions and the mass of a stock, in the scope
// stock/ID.
func NewStock(s graph.Scope, def *bom.Stock, material rates.Material, materialScope graph.Scope) Stock {
	st := Stock{Def: def, Width: graph.None, Reclaim: graph.None, Recovered: graph.None}
	st.Length = s.Number("length", "stock length", graph.Mm, def.LengthMM, "length_mm")
	st.LengthM = s.Convert("length-m", "stock length in metres", st.Length, graph.Mm, graph.Metre)
	st.Density = Density(materialScope, material)
	st.Section = st.section(s)
	if def.Form == bom.NearNet && def.MassG != nil {
		st.MassG = s.Number("mass-g", "stock mass in grams", graph.Gram, *def.MassG, "mass_g")
	} else {
		volume := s.Total("volume", "stock volume", st.volume(s))
		st.MassG = s.By("S4").Multiply("mass-g", "stock mass in grams", volume, st.Density)
	}
	st.MassKg = s.Convert("mass", "stock mass", st.MassG, graph.Gram, graph.Kilogram)
	return st
}

// Density is entered in g/cm³ and used in g/mm³; it is shared by all stocks of
// the material.
func Density(s graph.Scope, m rates.Material) graph.ID {
	entered := s.Shared("density", "density", graph.Gram.Per(graph.Cm.Power(3)), m.DensityGCM3, "density_g_cm3")
	return s.Convert("density-mm", "density by mm³", entered, graph.Cm, graph.Mm)
}

// section is the cross-section of what is cut off along its length, or the thickness of
// plate and sheet.
func (st *Stock) section(s graph.Scope) graph.ID {
	d := st.Def
	st.Width = s.Optional("width", "stock width", graph.Mm, d.WidthMM, "width_mm")
	switch {
	case d.AcrossFlatsMM != nil:
		flats := s.Number("across-flats", "size across flats", graph.Mm, *d.AcrossFlatsMM, "across_flats_mm")
		square := s.Multiply("section-square", "square of the size across flats", flats, flats)
		if d.Form != bom.Hexagon {
			return square
		}
		root := s.SquareRoot("root-of-three", "√3", s.Three())
		return s.Multiply("section", "cross-section of the hexagon", s.Half(), root, square)
	case d.SectionMM2 != nil:
		return s.Number("section", "cross-section", graph.Mm.Power(2), *d.SectionMM2, "section_mm2")
	case d.MassKgM != nil:
		entered := s.Number("mass-per-m", "mass of a metre", graph.Kilogram.Per(graph.Metre), *d.MassKgM, "mass_kg_m")
		perMm := s.Convert("mass-per-mm", "mass of a millimetre", s.Convert("grams-per-m", "mass of a metre in grams", entered, graph.Kilogram, graph.Gram), graph.Metre, graph.Mm)
		return s.By("S4").Divide("section", "cross-section", perMm, st.Density)
	case d.DiameterMM != nil && d.InnerDiameterMM != nil:
		outer := circle(s, "outer", "outer", s.Number("diameter", "outer diameter", graph.Mm, *d.DiameterMM, "diameter_mm"))
		inner := circle(s, "inner", "inner", s.Number("inner-diameter", "inner diameter", graph.Mm, *d.InnerDiameterMM, "inner_diameter_mm"))
		return s.Subtract("section", "cross-section", outer, inner)
	case d.DiameterMM != nil:
		return circle(s, "round", "round", s.Number("diameter", "diameter", graph.Mm, *d.DiameterMM, "diameter_mm"))
	}
	if d.ThicknessMM == nil {
		return graph.None
	}
	thickness := s.Number("thickness", "thickness", graph.Mm, *d.ThicknessMM, "thickness_mm")
	if d.Form != bom.NearNet && !d.Form.Linear() || st.Width == graph.None {
		return thickness
	}
	return s.Multiply("section", "cross-section", st.Width, thickness)
}

// circle is π/4 × D².
func circle(s graph.Scope, name, label string, d graph.ID) graph.ID {
	return s.Multiply(name+"-area", label+" cross-section", s.Multiply(name+"-quarter-pi", "π/4", s.Pi(), s.Quarter()), d, d)
}

func (st *Stock) volume(s graph.Scope) graph.ID {
	if st.Def.Form.Linear() || st.Def.Form == bom.NearNet {
		return s.Multiply("volume", "stock volume", st.Section, st.Length)
	}
	return s.Multiply("volume", "stock volume", st.Length, st.Width, st.Section)
}
