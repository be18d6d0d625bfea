package bom

import (
	"slices"
	"strings"
)

// toolForms lists the dimensions that a kind of tool must have, and those only it
// may have.
var toolForms = map[ToolKind]struct{ needs, uses string }{
	FaceMill:     {"diameter_mm", ""},
	EndMill:      {"diameter_mm", ""},
	BallMill:     {"diameter_mm", ""},
	SlittingSaw:  {"diameter_mm width_mm", ""},
	FlyCutter:    {"diameter_mm", ""},
	DrillTool:    {"diameter_mm", "point_angle_deg"},
	TapTool:      {"diameter_mm pitch_mm", ""},
	ThreadMiller: {"diameter_mm", "pitch_mm"},
	ChamferMill:  {"diameter_mm", "point_angle_deg"},
	Engraver:     {"diameter_mm", "point_angle_deg"},
	TurningTool:  {"", ""},
	BoringTool:   {"diameter_mm", ""},
	PartingBlade: {"width_mm", ""},
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
	}{{"diameter_mm", t.DiameterMM}, {"width_mm", t.WidthMM}, {"pitch_mm", t.PitchMM}, {"point_angle_deg", t.PointAngleDeg}} {
		switch needed := slices.Contains(needs, d.name); {
		case needed && d.value == nil:
			missing = append(missing, d.name)
		case !needed && d.value != nil && !slices.Contains(uses, d.name):
			out = append(out, FieldFault{d.name, "a tool of kind " + string(t.Kind) + " has no " + d.name + "; delete it"})
		}
	}
	if len(missing) > 0 {
		out = append(out, FieldFault{"", "a tool of kind " + string(t.Kind) + " needs " + strings.Join(missing, " and ")})
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
