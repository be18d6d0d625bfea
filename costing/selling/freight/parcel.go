package freight

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// Parcel is a packed parcel as figures: sides in mm, mass in g; None where unknown.
type Parcel struct {
	LengthMM, WidthMM, HeightMM, MassG graph.ID
	// Carton is what several such parcels go in; nil if each goes alone. Its mass
	// is that without them.
	Carton *Carton
}

// Carton is a carton with the number of pieces that fill it.
type Carton struct {
	Parcel
	Pieces graph.ID
}

// NewPacking writes how goods are packed, in a scope such as product/NUMBER.
func NewPacking(s graph.Scope, g bom.Goods, path string) Parcel {
	from := graph.Source{Where: bom.InRevision(g.Words(), g.Revision), Path: path + ".parcel"}
	out := NewParcel(s.In("parcel").From(from), g.Parcel)
	if c := g.Carton; c != nil {
		from.Path = path + ".carton"
		in := s.In("carton").From(from)
		out.Carton = &Carton{Pieces: in.Number("pieces", "pieces that fill a carton", graph.Piece, c.Pieces, "pieces_per_carton"), Parcel: Parcel{
			LengthMM: in.Number("length", "length of the carton", graph.Mm, c.LengthMM, "length_mm"),
			WidthMM:  in.Number("width", "width of the carton", graph.Mm, c.WidthMM, "width_mm"),
			HeightMM: in.Number("height", "height of the carton", graph.Mm, c.HeightMM, "height_mm"),
			MassG:    in.Number("empty-mass", "mass of the empty carton", graph.Gram, c.EmptyG, "empty_mass_g"),
		}}
	}
	return out
}

// NewParcel gives the figures of a parcel in a scope such as product/NUMBER/parcel,
// which all its consignments share.
func NewParcel(s graph.Scope, p *bom.Parcel) Parcel {
	if p == nil {
		return Parcel{LengthMM: graph.None, WidthMM: graph.None, HeightMM: graph.None, MassG: graph.None}
	}
	return Parcel{
		LengthMM: s.Shared("length", "length of the parcel", graph.Mm, p.LengthMM, "length_mm"),
		WidthMM:  s.Shared("width", "width of the parcel", graph.Mm, p.WidthMM, "width_mm"),
		HeightMM: s.Shared("height", "height of the parcel", graph.Mm, p.HeightMM, "height_mm"),
		MassG:    s.Shared("mass", "mass of the parcel", graph.Gram, p.MassG, "mass_g"),
	}
}

// Known reports whether the parcel has been measured.
func (p Parcel) Known() bool {
	return p.LengthMM != graph.None && p.WidthMM != graph.None && p.HeightMM != graph.None && p.MassG != graph.None
}
