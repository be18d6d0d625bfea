package finish

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// Lot is what a supplier is sent, and what a piece of it is.
type Lot struct {
	In      graph.ID       // pieces
	Yield   graph.ID       // None where nothing is lost
	Surface graph.ID       // dm²/piece, computed, or None; an entered area goes before it
	Mass    graph.ID       // g/piece, or None
	Threads []*bom.Feature // cut before
}

// Build writes the charge of one lot, in the currency of the book: max(minimum,
// fixed + loads × load charge + units in × price of a piece) × (1 + surcharges) + named
// charges + metal + transport, less what is paid for spoiled pieces. Where nothing
// starts there is no lot. The error is a *rates.UnknownClassError.
func Build(s graph.Scope, def *bom.Treatment, p Process, of Lot) (graph.ID, error) {
	s = s.Within("treatment").By("F2")
	t, err := newTreatment(s, def, p, of.Surface)
	if err != nil {
		return graph.None, err
	}
	coating := t.mass(s.By("F1"))
	t.growth(s, def, p)
	t.threadsChanged(s.By("F4"), def, p, of.Threads)
	t.bath(s, p)
	loads := graph.None
	if p.Load != graph.None {
		loads = s.Multiply("loads-charge", "charge for loads", loadCount(s, t, of.In), p.Load)
	}
	each := piecePrice(s, t, p, of)
	pieces := s.Multiply("pieces-charge", "charge for pieces", of.In, each)
	// The minimum is for the supplier's work; transport is paid beside it (F2).
	charge := s.Sum("lot-before-minimum", "lot charge before the minimum", p.Fixed, loads, pieces)
	switch {
	case charge == graph.None:
		charge = p.Minimum
	case p.Minimum != graph.None:
		charge = s.Maximum("lot-charge", "lot charge", charge, p.Minimum)
	}
	surcharge := graph.None
	if charge != graph.None && p.surcharge != graph.None {
		surcharge = s.Multiply("surcharge", "surcharge on the price of the finish", charge, p.surcharge)
	}
	lot := s.Total("lot-all", "lot charge and transport", charge, surcharge, p.named(s, def, t, of.In), p.metal(s, coating, of.In), p.Transport)
	if lot == graph.None {
		return graph.None, nil
	}
	lot = p.spoiled(s, of, each, lot)
	// Units in and not good ones: a supplier plates what is sent.
	cost := s.Choose("lot", "cost of the lot", of.In, graph.Greater, s.Zero(graph.Piece), lot, s.Zero(s.Unit(lot)))
	cost = graph.Or(s.Multiply("lot-converted", "cost of the lot in the currency of the book", cost, p.Exchange), cost)
	return cost, nil
}

// Nobody has said how many a load holds: the whole lot is one (F2).
func loadCount(s graph.Scope, t treatment, unitsIn graph.ID) graph.ID {
	if t.perLoad == graph.None {
		return s.One(graph.Plain)
	}
	return s.Whole("loads", "loads", s.Divide("loads-exact", "loads before rounding", unitsIn, t.perLoad))
}

// piecePrice is piece price + area charged × (area price + µm × area-µm price) + masks ×
// mask price + mass × price of a kilogram, in money/piece.
func piecePrice(s graph.Scope, t treatment, p Process, of Lot) graph.ID {
	micron := graph.None
	if p.AreaMicron != graph.None {
		thickness := t.thickness
		if thickness == graph.None {
			thickness = s.Within("thickness_um").Missing("thickness", "thickness", graph.Micron, "thickness of "+s.Record())
		}
		micron = s.Multiply("micron-price", "price per area at this thickness", thickness, p.AreaMicron)
	}
	charged := t.area
	if charged != graph.None && p.leastArea != graph.None {
		charged = s.Maximum("charged-area", "area charged for a piece", t.area, p.leastArea)
	}
	perArea := p.Area
	if len(p.areaBreaks.price) > 0 && charged != graph.None {
		perArea = p.areaBreaks.at(s, "area-price-break", "price per area of a lot of this area", s.Multiply("lot-area", "area of the lot", of.In, charged))
	}
	area := graph.None
	if perArea := s.Total("area-price", "price per area in all", perArea, micron); perArea != graph.None && charged != graph.None {
		area = s.Multiply("area-charge", "charge for the area of a piece", charged, perArea)
	}
	masks := graph.None
	switch {
	case t.masks == graph.None:
	case p.Mask == graph.None:
		s.Within("masks").Find(graph.Note, "", "masks are entered, and "+string(p.def.ID)+" charges none; enter mask_price there, or 0 where they are free")
	default:
		masks = s.Multiply("masks-charge", "charge for the masks of a piece", t.masks, p.Mask)
	}
	return s.Sum("piece-charge", "charge per piece", p.pieceAt(s, of.In), area, masks, p.byMass(s, of.Mass))
}
