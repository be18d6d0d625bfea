package bom

import (
	"cmp"
	"slices"
	"strings"

	"github.com/shopspring/decimal"
)

// FeatureKind is the kind of a machined feature.
type FeatureKind string

// The kinds of feature.
const (
	Face       FeatureKind = "face"
	Contour    FeatureKind = "contour"
	Pocket     FeatureKind = "pocket"
	Slot       FeatureKind = "slot"
	SlotArray  FeatureKind = "slot_array" // fins
	Drill      FeatureKind = "drill"
	Tap        FeatureKind = "tap"
	ThreadMill FeatureKind = "thread_mill"
	Chamfer    FeatureKind = "chamfer"
	Engrave    FeatureKind = "engrave"
	FinishFace FeatureKind = "finish_face"
	Turn       FeatureKind = "turn"
	FaceTurn   FeatureKind = "face_turn" // at constant surface speed
	Bore       FeatureKind = "bore"
	PartOff    FeatureKind = "part_off"

	Spot           FeatureKind = "spot" // and centre drilling
	Countersink    FeatureKind = "countersink"
	Counterbore    FeatureKind = "counterbore"
	Ream           FeatureKind = "ream"
	CircularPocket FeatureKind = "circular_pocket" // and bores by interpolation

	Groove      FeatureKind = "groove"       // and undercuts, on a lathe
	TurnProfile FeatureKind = "turn_profile" // chamfers, tapers and radii
	ThreadTurn  FeatureKind = "thread_turn"  // by a single point
	Knurl       FeatureKind = "knurl"
	SawCut      FeatureKind = "saw_cut"

	// By hand: no tool of the book is asked for.
	Deburr    FeatureKind = "deburr"
	Polish    FeatureKind = "polish"
	Blast     FeatureKind = "blast"
	Mark      FeatureKind = "mark"
	FitInsert FeatureKind = "fit_insert"
)

// featureForm is the form of a kind of feature: its dimensions, and the sizes that it
// and its tools may have. How it is cut is told by costing/making/machining/feature.
type featureForm struct {
	kind        FeatureKind
	noun        string
	needs, uses string     // dimensions it must and may have, but for everyCut or everyHand
	tools       []ToolKind // none: it is done by hand
	// box are the sides of the box that it takes up, whichever way it lies; of turning
	// what is left. A feature along a path has only its depth, and a chamfer nothing.
	box string
	// recess says that it goes into the outline and leaves it as it is.
	recess bool
	// turned says that it lies along the axis of a round blank; axis is the dimension
	// that does.
	turned bool
	axis   string
	// deep is how deep a tool has to reach into the piece; nil: its depth.
	deep func(*Feature) decimal.Decimal
	// wall is the depth that an allowance is taken off, and what it is called; nil: its
	// depth.
	wall func(*Feature) (decimal.Decimal, string)
	// faults are of its dimensions among one another, at likely values.
	faults func(*Feature) []FieldFault
	// lacks says what it needs where one of several dimensions will do.
	lacks func(*Feature) string
	// misfit says why a tool of a right kind, long enough, has not the size; "" where it has.
	misfit func(*Tool, *Feature) string
	// elsewhere says where a dimension stands that belongs to something else.
	elsewhere map[string]string
	// like is the kind that makes the like of it where the workpiece turns, or where it
	// stands still.
	like FeatureKind
}

var featureForms = []featureForm{
	{kind: Face, noun: "a face", like: FaceTurn, needs: "length_mm width_mm depth_mm", uses: "allowance_mm depth_of_cut_mm width_of_cut_mm",
		tools: []ToolKind{FaceMill, EndMill, FlyCutter}, box: "length_mm width_mm depth_mm"},
	{kind: Contour, noun: "a contour", like: Turn, needs: "path_mm depth_mm", uses: "width_mm corner_radius_mm allowance_mm depth_of_cut_mm width_of_cut_mm",
		tools: []ToolKind{EndMill}, box: "depth_mm", misfit: (*Tool).roundsCorner},
	{kind: Pocket, noun: "a pocket", needs: "length_mm width_mm depth_mm", uses: "corner_radius_mm allowance_mm depth_of_cut_mm width_of_cut_mm",
		tools: []ToolKind{EndMill}, box: "length_mm width_mm depth_mm", recess: true, faults: (*Feature).cornerFaults, misfit: (*Tool).widePocket},
	{kind: Slot, noun: "a slot", like: Groove, needs: "length_mm width_mm depth_mm", uses: "allowance_mm depth_of_cut_mm width_of_cut_mm",
		tools: []ToolKind{EndMill, SlittingSaw}, box: "length_mm width_mm depth_mm", recess: true,
		misfit: func(t *Tool, f *Feature) string { return t.wider(f.WidthMM, "slot") }},
	{kind: SlotArray, noun: "a slot array", needs: "length_mm width_mm depth_mm slot_width_mm fin_width_mm", uses: "open_edges depth_of_cut_mm width_of_cut_mm",
		tools: []ToolKind{SlittingSaw, EndMill}, box: "length_mm width_mm depth_mm", recess: true, faults: (*Feature).slotFaults,
		misfit: func(t *Tool, f *Feature) string { return t.wider(f.SlotWidthMM, "slot") }},
	{kind: Drill, noun: "a drilled hole", needs: "diameter_mm depth_mm", uses: "through peck_mm overrun_mm",
		tools: []ToolKind{DrillTool}, box: "diameter_mm diameter_mm depth_mm", recess: true, misfit: (*Tool).otherDiameter},
	{kind: Tap, noun: "a tapped thread", like: ThreadTurn, needs: "diameter_mm depth_mm pitch_mm", uses: "starts return_factor overrun_mm",
		tools: []ToolKind{TapTool}, box: "diameter_mm diameter_mm depth_mm",
		misfit: func(t *Tool, f *Feature) string { return cmp.Or(t.otherDiameter(f), t.otherPitch(f)) }},
	{kind: ThreadMill, noun: "a milled thread", like: ThreadTurn, needs: "diameter_mm depth_mm pitch_mm", uses: "starts",
		tools: []ToolKind{ThreadMiller}, box: "diameter_mm diameter_mm depth_mm", misfit: (*Tool).wideThread},
	{kind: Chamfer, noun: "a chamfer", like: TurnProfile, needs: "path_mm", uses: "width_mm", tools: []ToolKind{ChamferMill}},
	{kind: Engrave, noun: "an engraving", needs: "path_mm depth_mm", uses: "width_mm depth_of_cut_mm",
		tools: []ToolKind{Engraver, BallMill}, box: "depth_mm", misfit: (*Tool).wideLine},
	{kind: FinishFace, noun: "a finished face", like: FaceTurn, needs: "length_mm width_mm", uses: "depth_mm rz_um ra_um width_of_cut_mm",
		tools: []ToolKind{FlyCutter, BallMill, EndMill, FaceMill}, box: "length_mm width_mm depth_mm", deep: (*Feature).fromOutside},
	{kind: Turn, noun: "a turned length", like: Contour, needs: "length_mm diameter_mm to_diameter_mm", uses: "rz_um ra_um allowance_mm overrun_mm depth_of_cut_mm",
		tools: []ToolKind{TurningTool}, box: "to_diameter_mm to_diameter_mm length_mm", turned: true, axis: "length_mm",
		wall: (*Feature).turnedOff, faults: (*Feature).turnFaults},
	{kind: FaceTurn, noun: "a turned face", like: Face, needs: "diameter_mm", uses: "to_diameter_mm depth_mm rz_um ra_um allowance_mm depth_of_cut_mm",
		tools: []ToolKind{TurningTool}, box: "depth_mm", turned: true, axis: "depth_mm", deep: (*Feature).fromOutside, faults: (*Feature).inwardFaults},
	{kind: Bore, noun: "a bored hole", like: CircularPocket, needs: "diameter_mm to_diameter_mm depth_mm", uses: "through rz_um ra_um allowance_mm overrun_mm depth_of_cut_mm",
		tools: []ToolKind{BoringTool}, box: "to_diameter_mm to_diameter_mm depth_mm", recess: true,
		wall: (*Feature).boredOut, faults: (*Feature).boreFaults,
		misfit: func(t *Tool, f *Feature) string { return t.wider(f.DiameterMM, "hole before boring") }},
	{kind: PartOff, noun: "a parting cut", needs: "diameter_mm", uses: "to_diameter_mm",
		tools: []ToolKind{PartingBlade}, turned: true, deep: (*Feature).toTheMiddle, faults: (*Feature).inwardFaults,
		misfit:    (*Tool).cutsInside,
		elsewhere: map[string]string{"width_mm": ": the width of the cut is width_mm of the blade, and kerf_mm of the blank"}},

	{kind: Spot, noun: "a spot", needs: "diameter_mm", uses: "depth_mm", tools: []ToolKind{SpotDrill}, box: "diameter_mm diameter_mm depth_mm", recess: true,
		misfit: (*Tool).narrowCone, elsewhere: ofTheTool},
	{kind: Countersink, noun: "a countersink", needs: "diameter_mm", uses: "to_diameter_mm", tools: []ToolKind{ChamferMill, SpotDrill},
		box: "diameter_mm diameter_mm", recess: true, faults: (*Feature).inwardFaults, misfit: (*Tool).narrowCone, elsewhere: ofTheTool},
	{kind: Counterbore, noun: "a counterbore", needs: "diameter_mm depth_mm", uses: "to_diameter_mm depth_of_cut_mm width_of_cut_mm",
		tools: []ToolKind{DrillTool, EndMill}, box: "diameter_mm diameter_mm depth_mm", recess: true, faults: (*Feature).inwardFaults, misfit: (*Tool).flatOrSmaller},
	{kind: Ream, noun: "a reamed hole", needs: "diameter_mm depth_mm", uses: "through overrun_mm return_factor",
		tools: []ToolKind{Reamer}, box: "diameter_mm diameter_mm depth_mm", misfit: (*Tool).otherDiameter},
	{kind: CircularPocket, noun: "a circular pocket", like: Bore, needs: "diameter_mm depth_mm", uses: "width_mm through depth_of_cut_mm width_of_cut_mm",
		tools: []ToolKind{EndMill}, box: "diameter_mm diameter_mm depth_mm", recess: true, faults: (*Feature).ringFaults, misfit: (*Tool).noCircle},

	{kind: Groove, noun: "a groove", like: Slot, needs: "diameter_mm to_diameter_mm width_mm", tools: []ToolKind{PartingBlade}, turned: true, axis: "width_mm",
		deep: (*Feature).wallDepth, faults: (*Feature).levelFaults,
		misfit: func(t *Tool, f *Feature) string {
			return cmp.Or(t.wider(f.WidthMM, "groove"), t.tooNarrow(f), t.otherSide(f))
		}},
	{kind: TurnProfile, noun: "a turned profile", like: Chamfer, needs: "diameter_mm to_diameter_mm length_mm", uses: "path_mm rz_um ra_um depth_of_cut_mm",
		tools: []ToolKind{TurningTool, BoringTool}, box: "length_mm", turned: true, axis: "length_mm", deep: (*Feature).along,
		faults: (*Feature).profileFaults, misfit: (*Tool).otherSide},
	{kind: ThreadTurn, noun: "a turned thread", like: ThreadMill, needs: "diameter_mm length_mm pitch_mm", uses: "inside starts overrun_mm",
		tools: []ToolKind{ThreadingTool}, box: "length_mm", turned: true, axis: "length_mm", deep: (*Feature).along,
		misfit: func(t *Tool, f *Feature) string { return cmp.Or(t.otherThread(f), t.otherSide(f)) }},
	{kind: Knurl, noun: "a knurl", needs: "diameter_mm length_mm", uses: "pitch_mm", tools: []ToolKind{KnurlingTool}, box: "length_mm", turned: true, axis: "length_mm",
		deep: (*Feature).fromOutside, misfit: (*Tool).otherThread},
	{kind: SawCut, noun: "a saw cut", uses: "diameter_mm width_mm depth_mm", tools: []ToolKind{BandSaw}, deep: (*Feature).fromOutside,
		lacks: (*Feature).lacksSection, faults: (*Feature).sectionFaults},

	{kind: Deburr, noun: "deburring by hand", needs: "path_mm"},
	{kind: Polish, noun: "polishing", needs: "area_dm2"},
	{kind: Blast, noun: "blasting", needs: "area_dm2"},
	{kind: Mark, noun: "marking", needs: "characters", elsewhere: map[string]string{"path_mm": "; lines that a cutter follows are of kind engrave"}},
	{kind: FitInsert, noun: "fitting inserts"},
}

var ofTheTool = map[string]string{"depth_mm": ": it follows from the diameter and point_angle_deg of the tool"}

// everyCut are the fields that every kind may have that a tool cuts, everyHand those
// of every kind done by hand.
const (
	everyCut  = "count spacing_mm clearance_mm speed_m_min feed_mm"
	everyHand = "count unit_min"
)

// form is that of the kind, or an empty one of a word that is no kind.
func (k FeatureKind) form() featureForm {
	for _, form := range featureForms {
		if form.kind == k {
			return form
		}
	}
	return featureForm{}
}

// Values lists the words of the book.
func (FeatureKind) Values() []string {
	words := make([]string, len(featureForms))
	for i, form := range featureForms {
		words[i] = string(form.kind)
	}
	return words
}

// Noun is the kind as a person says it: "a pocket".
func (k FeatureKind) Noun() string { return k.form().noun }

// ToolKinds are the kinds of tool that cut the kind of feature.
func (k FeatureKind) ToolKinds() []ToolKind { return k.form().tools }

// Recess reports whether a kind of feature goes into the outline of the piece and
// leaves it as it is.
func (k FeatureKind) Recess() bool { return k.form().recess }

// Like is the kind that makes the like of it where the workpiece turns, or where it
// stands still; empty where there is none.
func (k FeatureKind) Like() FeatureKind { return k.form().like }

// otherwise says what to do with a dimension that the kind does not have.
func (form featureForm) otherwise(dimension string) string {
	if text := form.elsewhere[dimension]; text != "" || form.like == "" {
		return text
	}
	needs, uses := form.like.Dimensions()
	if slices.Contains(needs, dimension) || slices.Contains(uses, dimension) {
		return ", or make its kind " + string(form.like) + ", which has one"
	}
	return ""
}

// TakesRoughness reports whether a roughness can be asked of the kind.
func (k FeatureKind) TakesRoughness() bool { return k.form().rough() }

func (form featureForm) rough() bool { return slices.Contains(strings.Fields(form.uses), "rz_um") }

// roughKinds names the kinds that a roughness can be asked of.
func roughKinds() string {
	var words []string
	for _, form := range featureForms {
		if form.rough() {
			words = append(words, string(form.kind))
		}
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " or " + words[last]
}

// Dimensions lists the fields that the kind must have, and those it may have.
func (k FeatureKind) Dimensions() (needs, uses []string) {
	form := k.form()
	every := everyCut
	if k.ByHand() {
		every = everyHand
	}
	return strings.Fields(form.needs), append(strings.Fields(form.uses), strings.Fields(every)...)
}

// Thread reports whether the kind is a thread.
func (k FeatureKind) Thread() bool { return k == Tap || k == ThreadMill || k == ThreadTurn }

// ExternalThread reports a thread around the outside of a part.
func (f *Feature) ExternalThread() bool { return f.Kind == ThreadTurn && !f.Inside }

// ByHand reports whether the kind is done by hand, or by a work centre without a tool
// of the book.
func (k FeatureKind) ByHand() bool { return len(k.form().tools) == 0 }
