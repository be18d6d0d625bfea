package bom

import (
	"fmt"
	"slices"
	"strings"
)

// ToolKind is the kind of a cutting tool.
type ToolKind string

// The kinds of tool.
const (
	FaceMill     ToolKind = "face_mill"
	EndMill      ToolKind = "end_mill"
	BallMill     ToolKind = "ball_mill"
	SlittingSaw  ToolKind = "slitting_saw"
	FlyCutter    ToolKind = "fly_cutter" // one insert on an arm
	DrillTool    ToolKind = "drill"
	TapTool      ToolKind = "tap"
	ThreadMiller ToolKind = "thread_mill"
	ChamferMill  ToolKind = "chamfer_mill"
	Engraver     ToolKind = "engraver"
	TurningTool  ToolKind = "turning"
	BoringTool   ToolKind = "boring"
	PartingBlade ToolKind = "parting" // and grooving

	SpotDrill     ToolKind = "spot_drill" // and centre drills
	Reamer        ToolKind = "reamer"
	ThreadingTool ToolKind = "threading"
	KnurlingTool  ToolKind = "knurling"
	BandSaw       ToolKind = "band_saw"
)

// toolForm is the form of a kind of tool.
type toolForm struct {
	kind        ToolKind
	noun        string
	needs, uses string // the dimensions that it must have, and those only it may have
	// still says that the workpiece turns and the tool does not; see Rotates.
	still bool
}

var toolForms = []toolForm{
	{kind: FaceMill, noun: "a face mill", needs: "diameter_mm"},
	{kind: EndMill, noun: "an end mill", needs: "diameter_mm"},
	{kind: BallMill, noun: "a ball mill", needs: "diameter_mm"},
	{kind: SlittingSaw, noun: "a slitting saw", needs: "diameter_mm width_mm"},
	{kind: FlyCutter, noun: "a fly cutter", needs: "diameter_mm"},
	{kind: DrillTool, noun: "a drill", needs: "diameter_mm", uses: "point_angle_deg"},
	{kind: TapTool, noun: "a tap", needs: "diameter_mm pitch_mm"},
	{kind: ThreadMiller, noun: "a thread mill", needs: "diameter_mm", uses: "pitch_mm"},
	{kind: ChamferMill, noun: "a chamfer mill", needs: "diameter_mm", uses: "point_angle_deg"},
	{kind: Engraver, noun: "an engraver", needs: "diameter_mm", uses: "point_angle_deg"},
	{kind: TurningTool, noun: "a turning tool", still: true},
	{kind: BoringTool, noun: "a boring tool", needs: "diameter_mm", uses: "bar_diameter_mm", still: true},
	{kind: PartingBlade, noun: "a parting blade", needs: "width_mm", uses: "diameter_mm", still: true},
	{kind: SpotDrill, noun: "a spot drill", needs: "diameter_mm", uses: "point_angle_deg"},
	{kind: Reamer, noun: "a reamer", needs: "diameter_mm"},
	{kind: ThreadingTool, noun: "a threading tool", uses: "diameter_mm pitch_mm", still: true},
	{kind: KnurlingTool, noun: "a knurling tool", uses: "pitch_mm", still: true},
	{kind: BandSaw, noun: "a band saw", still: true},
}

func (k ToolKind) form() toolForm {
	for _, form := range toolForms {
		if form.kind == k {
			return form
		}
	}
	return toolForm{}
}

// Values lists the words of the book.
func (ToolKind) Values() []string {
	words := make([]string, len(toolForms))
	for i, form := range toolForms {
		words[i] = string(form.kind)
	}
	return words
}

// Noun is the kind as a person says it: "an end mill".
func (k ToolKind) Noun() string { return k.form().noun }

// ToolNouns are kinds as a person says them: "an end mill or a slitting saw".
func ToolNouns(kinds []ToolKind) string {
	words := make([]string, len(kinds))
	for i, k := range kinds {
		words[i] = k.Noun()
	}
	return strings.Join(words, " or ")
}

// Rotates reports whether the tool turns and the workpiece stands; it then has a
// diameter of its own, from which its speed follows.
func (k ToolKind) Rotates() bool { return !k.form().still }

// Dimensions lists the fields of a tool that depend on its kind: those that the kind must
// have, and those it may have.
func (k ToolKind) Dimensions() (needs, uses []string) {
	return strings.Fields(k.form().needs), strings.Fields(k.form().uses)
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
	needs := strings.Fields(t.Kind.form().needs)
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
	form := t.Kind.form()
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
