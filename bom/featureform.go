package bom

import (
	"slices"
	"strings"
)

// FieldFault is what is wrong with one field of a record, and how to mend it. An
// empty field means the record itself.
type FieldFault struct {
	Field, Message string
}

// featureForm says which dimensions a kind of feature must and may have, and
// which kinds of tool cut it.
type featureForm struct {
	noun        string
	needs, uses string
	tools       []ToolKind
}

var featureForms = map[FeatureKind]featureForm{
	Face:       {"a face", "length_mm width_mm depth_mm", "allowance_mm depth_of_cut_mm width_of_cut_mm", []ToolKind{FaceMill, EndMill, FlyCutter}},
	Contour:    {"a contour", "path_mm depth_mm", "width_mm corner_radius_mm allowance_mm depth_of_cut_mm width_of_cut_mm", []ToolKind{EndMill}},
	Pocket:     {"a pocket", "length_mm width_mm depth_mm", "corner_radius_mm allowance_mm depth_of_cut_mm width_of_cut_mm", []ToolKind{EndMill}},
	Slot:       {"a slot", "length_mm width_mm depth_mm", "allowance_mm depth_of_cut_mm width_of_cut_mm", []ToolKind{EndMill, SlittingSaw}},
	SlotArray:  {"a slot array", "length_mm width_mm depth_mm slot_width_mm fin_width_mm", "open_edges depth_of_cut_mm width_of_cut_mm", []ToolKind{SlittingSaw, EndMill}},
	Drill:      {"a drilled hole", "diameter_mm depth_mm", "through peck_mm overrun_mm", []ToolKind{DrillTool}},
	Tap:        {"a tapped thread", "diameter_mm depth_mm pitch_mm", "starts return_factor overrun_mm", []ToolKind{TapTool}},
	ThreadMill: {"a milled thread", "diameter_mm depth_mm pitch_mm", "starts", []ToolKind{ThreadMiller}},
	Chamfer:    {"a chamfer", "path_mm", "width_mm", []ToolKind{ChamferMill}},
	Engrave:    {"an engraving", "path_mm depth_mm", "width_mm depth_of_cut_mm", []ToolKind{Engraver, BallMill}},
	FinishFace: {"a finished face", "length_mm width_mm", "depth_mm rz_um ra_um width_of_cut_mm", []ToolKind{FlyCutter, BallMill, EndMill, FaceMill}},
	Turn:       {"a turned length", "length_mm diameter_mm to_diameter_mm", "rz_um ra_um allowance_mm overrun_mm depth_of_cut_mm", []ToolKind{TurningTool}},
	FaceTurn:   {"a turned face", "diameter_mm", "to_diameter_mm depth_mm rz_um ra_um allowance_mm depth_of_cut_mm", []ToolKind{TurningTool}},
	Bore:       {"a bored hole", "diameter_mm to_diameter_mm depth_mm", "through rz_um ra_um allowance_mm overrun_mm depth_of_cut_mm", []ToolKind{BoringTool}},
	PartOff:    {"a parting cut", "diameter_mm", "to_diameter_mm", []ToolKind{PartingBlade}},
}

// everyFeature are the fields that every kind may have.
const everyFeature = "count spacing_mm clearance_mm speed_m_min feed_mm"

// Noun is the kind as a person says it: "a pocket".
func (k FeatureKind) Noun() string { return featureForms[k].noun }

// ToolKinds are the kinds of tool that cut the kind of feature.
func (k FeatureKind) ToolKinds() []ToolKind { return featureForms[k].tools }

// TakesRoughness reports whether a roughness can be asked of the kind.
func (k FeatureKind) TakesRoughness() bool {
	return slices.Contains(strings.Fields(featureForms[k].uses), "rz_um")
}

// Dimensions lists the fields that the kind must have, and those it may have.
func (k FeatureKind) Dimensions() (needs, uses []string) {
	form := featureForms[k]
	return strings.Fields(form.needs), append(strings.Fields(form.uses), strings.Fields(everyFeature)...)
}

// field is one figure of a feature by its name in the book.
type field struct {
	name  string
	given bool
}

func (f *Feature) fields() []field {
	number := func(name string, n *Number) field { return field{name, n != nil} }
	return []field{
		number("count", f.Count), number("spacing_mm", f.SpacingMM), number("length_mm", f.LengthMM), number("width_mm", f.WidthMM), number("depth_mm", f.DepthMM),
		number("diameter_mm", f.DiameterMM), number("to_diameter_mm", f.ToDiameterMM), number("path_mm", f.PathMM),
		number("corner_radius_mm", f.CornerRadiusMM), number("slot_width_mm", f.SlotWidthMM), number("fin_width_mm", f.FinWidthMM),
		{"open_edges", f.OpenEdges}, number("pitch_mm", f.PitchMM), number("starts", f.Starts), number("return_factor", f.ReturnFactor),
		{"through", f.Through}, number("peck_mm", f.PeckMM), number("rz_um", f.RzUM), number("ra_um", f.RaUM),
		number("allowance_mm", f.AllowanceMM), number("clearance_mm", f.ClearanceMM), number("overrun_mm", f.OverrunMM),
		number("speed_m_min", f.SpeedMMin), number("feed_mm", f.FeedMM),
		number("depth_of_cut_mm", f.DepthOfCutMM), number("width_of_cut_mm", f.WidthOfCutMM),
	}
}

// instead says where a dimension stands that belongs to something else.
func instead(kind FeatureKind, name string) string {
	if kind == PartOff && name == "width_mm" {
		return ": the width of the cut is width_mm of the blade, and kerf_mm of the blank"
	}
	return ""
}

// Faults gives what is wrong with the dimensions of a feature: those that its
// kind needs and lacks, those that it has no use for, and those that leave
// nothing to cut.
func (f *Feature) Faults() []FieldFault {
	form, known := featureForms[f.Kind]
	if !known {
		return []FieldFault{{"kind", string(f.Kind) + " is no kind of feature"}}
	}
	needs, uses := f.Kind.Dimensions()
	var out []FieldFault
	var missing []string
	for _, d := range f.fields() {
		switch needed := slices.Contains(needs, d.name); {
		case needed && !d.given:
			missing = append(missing, d.name)
		case d.given && !needed && (d.name == "rz_um" || d.name == "ra_um") && !f.Kind.TakesRoughness():
			out = append(out, FieldFault{d.name, form.noun + " takes no roughness; ask it of a finish_face, turn, face_turn or bore"})
		case d.given && !needed && !slices.Contains(uses, d.name):
			out = append(out, FieldFault{d.name, form.noun + " has no " + d.name + "; delete it" + instead(f.Kind, d.name)})
		}
	}
	if f.SpacingMM != nil && f.Count == nil {
		out = append(out, FieldFault{"spacing_mm", "is the way from one to the next of several alike; enter their count too, or delete it"})
	}
	if len(missing) > 0 {
		out = append(out, FieldFault{"", form.noun + " needs " + strings.Join(missing, " and ")})
	}
	if len(out) > 0 {
		return out
	}
	return f.sizeFaults()
}
