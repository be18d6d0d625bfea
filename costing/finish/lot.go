package finish

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
)

// Process is an outside process as figures, in its own currency; None where the
// book gives no number. Its nodes are shared by all parts that use it.
type Process struct {
	Minimum, Fixed, Load graph.ID // money
	Piece                graph.ID // money/piece
	Area                 graph.ID // money/dm²
	AreaMicron           graph.ID // money/(dm²·µm)
	Mask                 graph.ID // money per mask
	Transport            graph.ID // money, both ways
	Density              graph.ID // g/mm³ of the coating
	Exchange             graph.ID // book currency per process currency
}

// NewProcess writes the prices of a process in the scope process/ID.
func NewProcess(s graph.Scope, def rates.Process, exchange graph.ID) Process {
	money := graph.Currency(string(def.Currency))
	area := graph.Dm.Power(2)
	p := Process{
		Minimum:    s.Optional("minimum", "minimum charge of a lot", money, def.Minimum, "minimum"),
		Fixed:      s.Optional("fixed", "lot charge", money, def.Fixed, "fixed"),
		Load:       s.Optional("load", "charge per load", money, def.LoadCharge, "load_charge"),
		Piece:      s.Optional("piece", "price per piece", money.Per(graph.Piece), def.PiecePrice, "piece_price"),
		Area:       s.Optional("area", "price per area", money.Per(area), def.AreaPrice, "price_per_dm2"),
		AreaMicron: s.Optional("area-micron", "price per area and thickness", money.Per(area).Per(graph.Micron), def.AreaMicronPrice, "price_per_dm2_um"),
		Mask:       s.Optional("mask", "price per mask", money, def.MaskPrice, "mask_price"),
		Exchange:   exchange,
	}
	there := s.Optional("transport-there", "transport to the supplier", money, def.TransportThere, "transport_there")
	back := s.Optional("transport-back", "transport back", money, def.TransportBack, "transport_back")
	p.Transport = s.By("F2").Total("transport", "transport both ways", there, back)
	p.Density = graph.None
	if def.CoatingDensityGCM3 != nil {
		entered := s.Optional("coating-density", "density of the coating", graph.Gram.Per(graph.Cm.Power(3)), def.CoatingDensityGCM3, "coating_density_g_cm3")
		p.Density = s.Convert("coating-density-mm", "density of the coating by mm³", entered, graph.Cm, graph.Mm)
	}
	return p
}

// treatment is what is done to one piece, as figures.
type treatment struct {
	area, thickness, masks, perLoad graph.ID
}

// Build writes the charge of one lot, in the currency of the book: max(minimum,
// fixed + loads × load charge + units in × price of a piece) + transport. Where
// nothing starts there is no lot.
func Build(s graph.Scope, def *bom.Treatment, p Process, unitsIn graph.ID) graph.ID {
	s = s.Within("treatment").By("F2")
	t := newTreatment(s, def)
	mass(s.By("F1"), t, p)
	loads := graph.None
	if p.Load != graph.None {
		loads = s.Multiply("loads-charge", "charge for loads", loadCount(s, t, unitsIn), p.Load)
	}
	pieces := graph.None
	if each := piecePrice(s, t, p); each != graph.None {
		pieces = s.Multiply("pieces-charge", "charge for pieces", unitsIn, each)
	}
	charge := s.Sum("lot-before-minimum", "lot charge before the minimum", p.Fixed, loads, pieces)
	switch {
	case charge == graph.None:
		charge = p.Minimum
	case p.Minimum != graph.None:
		charge = s.Maximum("lot-charge", "lot charge", charge, p.Minimum)
	}
	lot := s.Total("lot-all", "lot charge and transport", charge, p.Transport)
	if lot == graph.None {
		return graph.None
	}
	cost := s.Choose("lot", "cost of the lot", unitsIn, graph.Greater, s.Zero(graph.Piece), lot, s.Zero(s.Unit(lot)))
	if p.Exchange != graph.None {
		cost = s.Multiply("lot-converted", "cost of the lot in the currency of the book", cost, p.Exchange)
	}
	return cost
}

func newTreatment(s graph.Scope, def *bom.Treatment) treatment {
	return treatment{
		area:      s.Optional("area", "treated area of a piece", graph.Dm.Power(2).Per(graph.Piece), def.AreaDM2, "area_dm2"),
		thickness: s.Optional("thickness", "thickness of the coating", graph.Micron, def.ThicknessUM, "thickness_um"),
		masks:     s.Optional("masks", "masks per piece", graph.Plain.Per(graph.Piece), def.Masks, "masks"),
		perLoad:   s.Optional("pieces-per-load", "pieces per load", graph.Piece, def.PiecesPerLoad, "pieces_per_load"),
	}
}

func loadCount(s graph.Scope, t treatment, unitsIn graph.ID) graph.ID {
	perLoad := t.perLoad
	if perLoad == graph.None {
		return s.One(graph.Plain)
	}
	return s.Whole("loads", "loads", s.Divide("loads-exact", "loads before rounding", unitsIn, perLoad))
}

// piecePrice is piece price + area × (area price + µm × area-µm price) + masks ×
// mask price, in money/piece.
func piecePrice(s graph.Scope, t treatment, p Process) graph.ID {
	micron := graph.None
	if p.AreaMicron != graph.None && t.thickness != graph.None {
		micron = s.Multiply("micron-price", "price per area at this thickness", t.thickness, p.AreaMicron)
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

// mass is F1: area × thickness × density, in g/piece.
func mass(s graph.Scope, t treatment, p Process) {
	if t.area == graph.None || t.thickness == graph.None || p.Density == graph.None {
		return
	}
	area := s.Convert("area-mm", "treated area in mm²", t.area, graph.Dm, graph.Mm)
	thickness := s.Convert("thickness-mm", "thickness in mm", t.thickness, graph.Micron, graph.Mm)
	s.Multiply("coating-mass", "mass of the coating", area, thickness, p.Density)
}
