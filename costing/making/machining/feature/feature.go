package feature

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// Feature is one feature of an operation as figures; None where the book gives no
// number.
type Feature struct {
	Scope graph.Scope // …/feature/F
	Def   *bom.Feature
	kind  Kind

	Count                        graph.ID
	length, width, depth         graph.ID
	diameter, to, path, corner   graph.ID
	slot, fin, pitch, starts     graph.ID
	peck, roughness, allowance   graph.ID
	clearance, overrun, backward graph.ID

	slots    graph.ID // of an array
	Achieved graph.ID // roughness measured ÷ theoretical
}

// standardClearance is left before a cut where the feature states none.
const standardClearance = 2

// New writes the dimensions of a feature.
func New(s graph.Scope, f *bom.Feature) *Feature {
	mm := func(name, label string, n *bom.Number, path string) graph.ID {
		return s.Optional(name, label, graph.Mm, n, path)
	}
	d := &Feature{
		Scope: s, Def: f, kind: kinds[f.Kind], slots: graph.None, Achieved: graph.None,

		Count:     s.Optional("count", "features alike", graph.Plain, f.Count, "count"),
		length:    mm("length", "length", f.LengthMM, "length_mm"),
		width:     mm("width", "width", f.WidthMM, "width_mm"),
		depth:     mm("depth", "depth", f.DepthMM, "depth_mm"),
		diameter:  mm("diameter", "diameter", f.DiameterMM, "diameter_mm"),
		to:        mm("to-diameter", "diameter cut to", f.ToDiameterMM, "to_diameter_mm"),
		path:      mm("outline", "length along the path", f.PathMM, "path_mm"),
		corner:    mm("corner-radius", "corner radius", f.CornerRadiusMM, "corner_radius_mm"),
		slot:      mm("slot-width", "slot width", f.SlotWidthMM, "slot_width_mm"),
		fin:       mm("fin-width", "fin width", f.FinWidthMM, "fin_width_mm"),
		pitch:     mm("pitch", "thread pitch", f.PitchMM, "pitch_mm"),
		starts:    s.Optional("starts", "thread starts", graph.Plain, f.Starts, "starts"),
		peck:      mm("peck", "deepest peck", f.PeckMM, "peck_mm"),
		allowance: mm("allowance", "left for finishing", f.AllowanceMM, "allowance_mm"),
		clearance: mm("clearance", "clearance", f.ClearanceMM, "clearance_mm"),
		overrun:   mm("overrun", "overrun", f.OverrunMM, "overrun_mm"),
		backward:  s.Optional("return-factor", "speed out ÷ speed in", graph.Plain, f.ReturnFactor, "return_factor"),
	}
	// One figure for Rz and Ra, since never both are entered; which it is decides the
	// constant of M9.
	rz := s.Optional("rz-wanted", "roughness Rz wanted", graph.Micron, f.RzUM, "rz_um")
	d.roughness = graph.Or(s.Optional("ra-wanted", "roughness Ra wanted", graph.Micron, f.RaUM, "ra_um"), rz)
	if d.clearance == graph.None {
		d.clearance = s.Fixed("clearance", "clearance where none is stated", graph.Mm, bom.Whole(standardClearance).Likely, "common practice")
	}
	// The slots of an array, say, which are the same whatever tool cuts them.
	if d.kind.before != nil {
		d.kind.before(d)
	}
	return d
}

// Rough reports whether its roughness is shown.
func (f *Feature) Rough() bool { return f.kind.rough || f.Def.RzUM != nil || f.Def.RaUM != nil }
