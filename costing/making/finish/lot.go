package finish

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// Build writes the charge of one lot, in the currency of the book: max(minimum,
// fixed + loads × load charge + units in × price of a piece) + transport. Where
// nothing starts there is no lot. surface is the computed surface of a piece in
// dm²/piece or None; an entered area goes before it. The error is a
// *rates.UnknownClassError.
func Build(s graph.Scope, def *bom.Treatment, p Process, surface, unitsIn graph.ID) (graph.ID, error) {
	s = s.Within("treatment").By("F2")
	t, err := newTreatment(s, def, p, surface)
	if err != nil {
		return graph.None, err
	}
	t.mass(s.By("F1"))
	t.growth(s, def, p)
	t.bath(s, p)
	loads := graph.None
	if p.Load != graph.None {
		loads = s.Multiply("loads-charge", "charge for loads", loadCount(s, t, unitsIn), p.Load)
	}
	pieces := graph.None
	if each := piecePrice(s, t, p); each != graph.None {
		pieces = s.Multiply("pieces-charge", "charge for pieces", unitsIn, each)
	}
	// The minimum is for the supplier's work; transport is paid beside it (F2).
	charge := s.Sum("lot-before-minimum", "lot charge before the minimum", p.Fixed, loads, pieces)
	switch {
	case charge == graph.None:
		charge = p.Minimum
	case p.Minimum != graph.None:
		charge = s.Maximum("lot-charge", "lot charge", charge, p.Minimum)
	}
	lot := s.Total("lot-all", "lot charge and transport", charge, p.Transport)
	if lot == graph.None {
		return graph.None, nil
	}
	// Units in and not good ones: a supplier plates what is sent.
	cost := s.Choose("lot", "cost of the lot", unitsIn, graph.Greater, s.Zero(graph.Piece), lot, s.Zero(s.Unit(lot)))
	if p.Exchange != graph.None {
		cost = s.Multiply("lot-converted", "cost of the lot in the currency of the book", cost, p.Exchange)
	}
	return cost, nil
}

// Nobody has said how many a load holds: the whole lot is one (F2).
func loadCount(s graph.Scope, t treatment, unitsIn graph.ID) graph.ID {
	if t.perLoad == graph.None {
		return s.One(graph.Plain)
	}
	return s.Whole("loads", "loads", s.Divide("loads-exact", "loads before rounding", unitsIn, t.perLoad))
}

// piecePrice is piece price + area × (area price + µm × area-µm price) + masks ×
// mask price, in money/piece.
func piecePrice(s graph.Scope, t treatment, p Process) graph.ID {
	micron := graph.None
	if p.AreaMicron != graph.None {
		thickness := t.thickness
		if thickness == graph.None {
			thickness = s.Within("thickness_um").Missing("thickness", "thickness", graph.Micron, "thickness of "+s.Record())
		}
		micron = s.Multiply("micron-price", "price per area at this thickness", thickness, p.AreaMicron)
	}
	area := graph.None
	if perArea := s.Total("area-price", "price per area in all", p.Area, micron); perArea != graph.None && t.area != graph.None {
		area = s.Multiply("area-charge", "charge for the area of a piece", t.area, perArea)
	}
	masks := graph.None
	if p.Mask != graph.None && t.masks != graph.None {
		masks = s.Multiply("masks-charge", "charge for the masks of a piece", t.masks, p.Mask)
	}
	return s.Sum("piece-charge", "charge per piece", p.Piece, area, masks)
}
