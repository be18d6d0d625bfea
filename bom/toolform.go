package bom

import (
	"fmt"
	"slices"
	"strings"
)

// toolForms lists what a kind of tool is called, the dimensions that it must have,
// and those only it may have.
var toolForms = map[ToolKind]struct{ noun, needs, uses string }{
	FaceMill:     {"a face mill", "diameter_mm", ""},
	EndMill:      {"an end mill", "diameter_mm", ""},
	BallMill:     {"a ball mill", "diameter_mm", ""},
	SlittingSaw:  {"a slitting saw", "diameter_mm width_mm", ""},
	FlyCutter:    {"a fly cutter", "diameter_mm", ""},
	DrillTool:    {"a drill", "diameter_mm", "point_angle_deg"},
	TapTool:      {"a tap", "diameter_mm pitch_mm", ""},
	ThreadMiller: {"a thread mill", "diameter_mm", "pitch_mm"},
	ChamferMill:  {"a chamfer mill", "diameter_mm", "point_angle_deg"},
	Engraver:     {"an engraver", "diameter_mm", "point_angle_deg"},
	TurningTool:  {"a turning tool", "", ""},
	BoringTool:   {"a boring tool", "diameter_mm", "bar_diameter_mm"},
	PartingBlade: {"a parting blade", "width_mm", ""},
}

// dimensions are those of a tool that depend on its kind.
func (t *Tool) dimensions() []field {
	number := func(name string, n *Number) field { return field{name, n, n != nil} }
	return []field{number("diameter_mm", t.DiameterMM), number("width_mm", t.WidthMM), number("pitch_mm", t.PitchMM),
		number("bar_diameter_mm", t.BarDiameterMM), number("point_angle_deg", t.PointAngleDeg)}
}

// Lacks says what the kind of a tool needs and nobody has entered; empty where all is
// there.
func (t *Tool) Lacks() string {
	needs := strings.Fields(toolForms[t.Kind].needs)
	var missing []string
	for _, d := range t.dimensions() {
		if slices.Contains(needs, d.name) && !d.given {
			missing = append(missing, d.name)
		}
	}
	if lacks := needed(t.Kind.Noun(), missing); lacks != "" {
		return lacks
	}
	if (t.TaylorN == nil) != (t.TaylorC == nil) {
		return "tool life by Taylor needs taylor_n and taylor_c"
	}
	return ""
}

// Faults gives what is wrong with the fields of a tool.
func (t *Tool) Faults() []FieldFault {
	form := toolForms[t.Kind]
	known := strings.Fields(form.needs + " " + form.uses)
	var out []FieldFault
	for _, d := range t.dimensions() {
		if d.given && !slices.Contains(known, d.name) {
			out = append(out, FieldFault{d.name, t.Kind.Noun() + " has no " + d.name + "; delete it"})
		}
	}
	if t.reachesArbor() {
		out = append(out, FieldFault{"reach_mm", fmt.Sprintf("a saw of diameter %s mm cuts less than half of that deep, since its arbor is in the way; enter a reach below %s mm",
			plain(t.DiameterMM.Likely), plain(t.halfDiameter()))})
	}
	if t.LifeMin != nil && (t.TaylorN != nil || t.TaylorC != nil) {
		out = append(out, FieldFault{"life_min", "is given beside taylor_n and taylor_c; keep one or the other"})
	}
	return out
}

// HasLife reports whether the life of an edge is known.
func (t *Tool) HasLife() bool { return t.LifeMin != nil || t.TaylorN != nil && t.TaylorC != nil }
