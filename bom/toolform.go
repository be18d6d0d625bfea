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

// Faults gives what is wrong with the fields of a tool.
func (t *Tool) Faults() []FieldFault {
	form := toolForms[t.Kind]
	needs, uses := strings.Fields(form.needs), strings.Fields(form.uses)
	var out []FieldFault
	var missing []string
	for _, d := range []struct {
		name  string
		value *Number
	}{{"diameter_mm", t.DiameterMM}, {"width_mm", t.WidthMM}, {"pitch_mm", t.PitchMM}, {"bar_diameter_mm", t.BarDiameterMM}, {"point_angle_deg", t.PointAngleDeg}} {
		switch needed := slices.Contains(needs, d.name); {
		case needed && d.value == nil:
			missing = append(missing, d.name)
		case !needed && d.value != nil && !slices.Contains(uses, d.name):
			out = append(out, FieldFault{d.name, t.Kind.Noun() + " has no " + d.name + "; delete it"})
		}
	}
	if len(missing) > 0 {
		out = append(out, FieldFault{"", t.Kind.Noun() + " needs " + strings.Join(missing, " and ")})
	}
	if t.reachesArbor() {
		out = append(out, FieldFault{"reach_mm", fmt.Sprintf("a saw of diameter %s mm cuts less than half of that deep, since its arbor is in the way; enter a reach below %s mm",
			plain(t.DiameterMM.Likely), plain(t.halfDiameter()))})
	}
	return append(out, t.lifeFaults()...)
}

// lifeFaults wants a tool life in one form.
func (t *Tool) lifeFaults() []FieldFault {
	switch taylor := t.TaylorN != nil || t.TaylorC != nil; {
	case taylor && t.LifeMin != nil:
		return []FieldFault{{"life_min", "is given beside taylor_n and taylor_c; keep one or the other"}}
	case taylor && (t.TaylorN == nil || t.TaylorC == nil):
		return []FieldFault{{"", "tool life by Taylor needs taylor_n and taylor_c"}}
	}
	return nil
}

// HasLife reports whether the life of an edge is known.
func (t *Tool) HasLife() bool { return t.LifeMin != nil || t.TaylorN != nil && t.TaylorC != nil }
