package finish

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
	"kerfbook/costing/reference"
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
	Exchange             graph.ID // book currency per process currency

	coating    coating
	growth     graph.ID // share of the thickness
	removed    graph.ID // µm that a finish without a layer takes off
	sizeless   bool     // surfaces stay where they are, however thick it is
	charge     graph.ID // A·s per gram deposited, at an efficiency of 1
	efficiency graph.ID
	edgeRadius graph.ID // least radius of edges in thicknesses
	current    graph.ID // A/dm²
	loadArea   graph.ID // dm²
	loadSpace  graph.ID // dm³
	tariff
	def      rates.Process
	finishes rates.Finishes
}

// coating is what a coating consists of and how fast it grows.
type coating struct {
	density graph.ID // g/mm³
	rate    graph.ID // µm/h
}

// caution is said once for each finish in an estimate.
const caution = "plating and anodising baths follow the safety data sheets of their supplier and local rules"

// NewProcess writes the prices of a process, and what is known of its finish, in
// the scope process/ID, as it holds on a day. metal is
// what is paid by the kilogram of the metal deposited, or None.
func NewProcess(s graph.Scope, def rates.Process, exchange graph.ID, finishes rates.Finishes, day bom.Date, metal graph.ID) Process {
	money := graph.Currency(string(def.Currency))
	area := graph.Dm.Power(2)
	p := Process{
		Minimum:    s.Optional("minimum", "minimum charge of a lot", money, def.Minimum, "minimum"),
		Fixed:      s.Optional("fixed", "lot charge", money, def.Fixed, "fixed"),
		Load:       s.Optional("load", "charge per load", money, def.LoadCharge, "load_charge"),
		Piece:      s.Optional("piece", "price per piece", money.Per(graph.Piece), def.PiecePrice, "piece_price"),
		Area:       s.Optional("area", "price per area", money.Per(area), def.AreaPrice, "price_per_dm2"),
		AreaMicron: s.Optional("area-micron", "price per area and thickness", money.Per(area).Per(graph.Micron), def.AreaMicronPrice, "price_per_dm2_um"),
		Mask:       maskPrice(s, def, money),
		Exchange:   exchange, def: def, finishes: finishes,
	}
	if !def.PricesPieces() {
		p.Piece = s.Within("piece_price").Missing("piece", "price per piece", money.Per(graph.Piece), "price of a piece, an area or a load of "+string(def.ID))
	}
	there := s.Optional("transport-there", "transport to the supplier", money, def.TransportThere, "transport_there")
	back := s.Optional("transport-back", "transport back", money, def.TransportBack, "transport_back")
	p.Transport = s.By("F2").Total("transport", "transport both ways", there, back)
	p.newFinish(s)
	p.tariff = newTariff(s, &def, money, day, metal)
	return p
}

// PricesArea reports that the area of a piece is charged.
func (p *Process) PricesArea() bool { return p.def.PricesArea() }

// maskPrice is the price of a mask, or its time at an hour rate.
func maskPrice(s graph.Scope, def rates.Process, money graph.Unit) graph.ID {
	if def.MaskPrice != nil || def.MaskMin == nil && def.MaskRatePerH == nil {
		return s.Optional("mask", "price per mask", money, def.MaskPrice, "mask_price")
	}
	minutes := s.Number("mask-min", "time per mask", graph.Minute, bom.Needed(def.MaskMin), "mask_min")
	hours := s.Convert("mask-hours", "time per mask in hours", minutes, graph.Minute, graph.Hour)
	rate := s.Number("mask-rate", "hour rate of masking", money.Per(graph.Hour), bom.Needed(def.MaskRatePerH), "mask_rate_per_h")
	return s.By("F2").Multiply("mask", "price per mask", hours, rate)
}

// newFinish writes what the finish is: the coating, its growth, the current.
func (p *Process) newFinish(s graph.Scope) {
	def := &p.def
	p.coating = coating{graph.None, graph.None}
	if def.CoatingDensityGCM3 != nil {
		p.coating.density = density(s, *def.CoatingDensityGCM3, "coating_density_g_cm3")
	}
	p.coating.rate = s.Optional("deposit-rate", "growth of the coating in the bath", micronsPerHour, def.DepositUMH, "deposit_um_h")
	if row, known := p.finishes.Deposit(def.Phosphorus); known {
		p.coating = p.coating.or(s, row)
	}
	if row, known := p.finishes.CoatingOf(def.Finish); known && p.coating.density == graph.None {
		p.coating.density = density(s.From(source(row.Provenance)), row.Value.DensityGCM3, "")
	}
	p.current = s.Optional("current-density", "current density", graph.Ampere.Per(graph.Dm.Power(2)), def.CurrentADM2, "current_a_dm2")
	p.loadArea = s.Optional("load-area", "area that a load holds", graph.Dm.Power(2), def.LoadDM2, "load_dm2")
	p.loadSpace = s.Optional("load-space", "space that a load holds", graph.Dm.Power(3), def.LoadDM3, "load_dm3")
	p.newSize(s)
	p.ownBath(s)
	if def.Finish != "" {
		s.Find(graph.Note, "", caution)
	}
}

// newSize writes what the finish does to size.
func (p *Process) newSize(s graph.Scope) {
	p.growth, p.edgeRadius, p.removed = graph.None, graph.None, graph.None
	row, known := p.finishes.GrowthOf(p.def.Finish)
	if !known {
		return
	}
	if row.Value.RemovedUM != nil {
		s.Find(graph.Note, "", p.def.Finish.Words()+" takes off some of the part itself; its mass is not counted")
	}
	s = s.From(source(row.Provenance))
	p.sizeless = row.Value.Share.Likely.IsZero()
	p.growth = s.Number("growth-share", "share of the thickness by which a surface grows", graph.Plain, row.Value.Share, "")
	p.removed = s.Optional("removed", "taken off a surface", graph.Micron, row.Value.RemovedUM, "")
	p.edgeRadius = s.Optional("edge-radius-share", "least radius of edges, in thicknesses", graph.Plain, row.Value.EdgeRadius, "")
}

var micronsPerHour = graph.Micron.Per(graph.Hour)

// or fills in what is not entered from a reference row.
func (c coating) or(s graph.Scope, row reference.Row[rates.NickelDeposit]) coating {
	s = s.From(source(row.Provenance))
	if c.density == graph.None {
		c.density = density(s, row.Value.DensityGCM3, "")
	}
	if c.rate == graph.None {
		c.rate = s.Number("deposit-rate", "growth of the coating in the bath", micronsPerHour, row.Value.DepositUMH, "")
	}
	return c
}

func density(s graph.Scope, n bom.Number, path string) graph.ID {
	entered := s.Number("coating-density", "density of the coating", graph.Gram.Per(graph.Cm.Power(3)), n, path)
	return s.Convert("coating-density-mm", "density of the coating by mm³", entered, graph.Cm, graph.Mm)
}

func source(p reference.Provenance) graph.Source {
	return graph.Source{Where: p.Where, Path: p.Path, Cite: p.Cite, CheckedOn: p.CheckedOn, Unverified: p.Unverified}
}
