package freight

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
	"kerfbook/costing/selling/exchange"
	"kerfbook/costing/trade"
)

// Item is one kind of goods in a consignment.
type Item struct {
	Key, Name string
	Parcel    Parcel   // of one piece
	Quantity  graph.ID // pieces
	Pieces    graph.ID // the same as a plain number
}

// Load is what a carrier takes at once.
type Load struct {
	Carrier *Carrier
	Scope   graph.Scope // of the consignment
	Rates   exchange.Rates
	Items   []Item
	Packed  *Parcel  // all items together; nil where each goes by itself
	Goods   graph.ID // price of the goods, for insurance, in the currency of the book
}

// Freight writes freight and insurance in the currency of the book; insurance is
// None where the carrier does not insure. (L3, L4)
func (l Load) Freight() (freight, insurance graph.ID) {
	name, c := "freight", l.Carrier
	if c.Currency != l.Rates.Book {
		// The short key is the amount in the book's currency, whatever the carrier invoices in.
		name = "freight-as-invoiced"
	}
	s := l.Scope.By("L3")
	charged := s.Add(name, "freight with fuel", l.parcels()...)
	freight = l.Rates.Convert(s, "freight", "freight with fuel in the currency of the book", charged, c.Currency, l.Rates.Book, rates.ForBuying)
	return freight, l.premium(charged)
}

// parcels writes the freight of each parcel and gives that of all, in the carrier's
// currency. Bands and steps hold for each parcel by itself: the price of two is not
// that of their mass together.
func (l Load) parcels() []graph.ID {
	if l.Packed != nil {
		return []graph.ID{l.parcel(l.Scope.In("parcel", "basket"), *l.Packed)}
	}
	var out []graph.ID
	for _, it := range l.Items {
		s := l.Scope.In("parcel", it.Key)
		one := l.parcel(s, it.Parcel)
		if it.Parcel.Carton != nil {
			out = append(out, l.cartons(s, it, one))
			continue
		}
		out = append(out, s.By("L3").Multiply("freight-of-all", "freight of all parcels of "+it.Name, one, it.Pieces))
	}
	return out
}

// cartons writes the freight of pieces that share cartons: full ones, and what is
// left over in one more of the same size, or in the parcel of a piece if it is a
// single one. (L3)
func (l Load) cartons(s graph.Scope, it Item, one graph.ID) graph.ID {
	c, piece := it.Parcel.Carton, s.One(graph.Piece)
	s = s.By("L3")
	inFull := s.Floor("pieces-in-full-cartons", "pieces of "+it.Name+" in full cartons", it.Quantity, c.Pieces)
	full := s.Divide("full-cartons", "full cartons of "+it.Name, inFull, c.Pieces)
	rest := s.Subtract("pieces-left-over", "pieces of "+it.Name+" left over", it.Quantity, inFull)
	freight := func(name, label string, pieces graph.ID) graph.ID {
		in := s.In(name)
		// Its mass follows from what is in it; its sides do not, so that a half-empty carton
		// may be charged by its volume.
		filled := *c
		filled.MassG = in.Add("mass-packed", "mass of the "+label, c.MassG,
			in.Multiply("mass-of-pieces", "mass of the pieces in the "+label, it.Parcel.MassG, in.Divide("pieces", "pieces in the "+label, pieces, piece)))
		return l.parcel(in, filled.Parcel)
	}
	zero := s.Zero(l.Carrier.unit())
	// A full carton that the carrier does not take is no matter where none goes.
	ofFull := s.Choose("freight-of-full", "freight of full cartons", full, graph.Greater, s.Zero(graph.Plain),
		s.Multiply("freight-if-full", "full cartons × freight of one", freight("full-carton", "full carton", c.Pieces), full), zero)
	ofSingle := s.Choose("freight-of-single", "freight of a single piece left over", rest, graph.Greater, s.Zero(graph.Piece), one, zero)
	ofRest := s.Choose("freight-of-rest", "freight of what is left over", rest, graph.Greater, piece,
		freight("part-filled-carton", "part-filled carton", rest), ofSingle)
	return s.Add("freight-of-all", "freight of all parcels of "+it.Name, ofFull, ofRest)
}

// parcel writes the freight of one parcel. (L1 to L3)
func (l Load) parcel(s graph.Scope, p Parcel) graph.ID {
	return l.tablePrice(s, l.chargeableMass(s, p))
}

// chargeableMass is the greater of mass and volumetric mass, up to the carrier's
// step. (L1, L2)
func (l Load) chargeableMass(s graph.Scope, p Parcel) graph.ID {
	cs, mass := l.shared(), graph.Kilogram
	if l.Carrier.MassUnit == trade.Pounds {
		mass = graph.Pound
	}
	real := s.By("L2").Convert("mass", "mass of the parcel", p.MassG, graph.Gram, mass)
	counts := real
	if n := l.Carrier.Divisor; n != nil {
		length := graph.Cm
		if l.Carrier.LengthUnit == trade.Inches {
			length = graph.Inch
		}
		divisor := cs.Shared("volumetric-divisor", "volume that counts as one "+mass.String(), length.Power(3).Per(mass), *n, "volumetric_divisor")
		volumetric := s.By("L1").Divide("volumetric-mass", "volumetric mass", l.volume(s, p, length), divisor)
		counts = s.By("L2").Maximum("greater-mass", "greater of mass and volumetric mass", real, volumetric)
	}
	if n := l.Carrier.MassStep; n != nil {
		step := cs.Shared("mass-step", "step of chargeable mass", mass, *n, "mass_step")
		return s.By("L2").Ceiling("chargeable-mass", "chargeable mass", counts, step)
	}
	return s.By("L2").Add("chargeable-mass", "chargeable mass", counts)
}

// volume multiplies the sides as the carrier rounds them. (L1)
func (l Load) volume(s graph.Scope, p Parcel, unit graph.Unit) graph.ID {
	s = s.By("L1")
	side := func(name string, mm graph.ID) graph.ID {
		r := l.Carrier.SideRounding
		if r == nil {
			return s.Convert(name, name, mm, graph.Mm, unit)
		}
		step := l.shared().Shared("side-step", "step of sides", unit, r.Step, "side_rounding.step")
		return exchange.Round(s, name, name+" as the carrier rounds it", s.Convert(name+"-measured", name+" as measured", mm, graph.Mm, unit), step, r.Mode)
	}
	return s.Multiply("volume", "volume of the parcel", side("length", p.LengthMM), side("width", p.WidthMM), side("height", p.HeightMM))
}

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
