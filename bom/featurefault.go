package bom

import (
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"
)

// FieldFault is what is wrong with one field of a record, and how to mend it. An
// empty field means the record itself.
type FieldFault struct {
	Field, Message string
}

// field is one figure of a feature by its name in the book.
type field struct {
	name  string
	value *Number // nil of a yes or no
	given bool
}

func (f *Feature) fields() []field {
	number := func(name string, n *Number) field { return field{name, n, n != nil} }
	return []field{
		number("count", f.Count), number("spacing_mm", f.SpacingMM), number("length_mm", f.LengthMM), number("width_mm", f.WidthMM), number("depth_mm", f.DepthMM),
		number("diameter_mm", f.DiameterMM), number("to_diameter_mm", f.ToDiameterMM), number("path_mm", f.PathMM),
		number("corner_radius_mm", f.CornerRadiusMM), number("slot_width_mm", f.SlotWidthMM), number("fin_width_mm", f.FinWidthMM),
		{"open_edges", nil, f.OpenEdges}, number("pitch_mm", f.PitchMM), number("starts", f.Starts), number("return_factor", f.ReturnFactor),
		{"through", nil, f.Through}, number("peck_mm", f.PeckMM), number("rz_um", f.RzUM), number("ra_um", f.RaUM),
		number("allowance_mm", f.AllowanceMM), number("clearance_mm", f.ClearanceMM), number("overrun_mm", f.OverrunMM), {"inside", nil, f.Inside},
		number("area_dm2", f.AreaDM2), number("characters", f.Characters), number("unit_min", f.UnitMin),
		number("speed_m_min", f.SpeedMMin), number("feed_mm", f.FeedMM),
		number("depth_of_cut_mm", f.DepthOfCutMM), number("width_of_cut_mm", f.WidthOfCutMM),
	}
}

// given are the figures of a feature with the names of a list, but for those that the
// book does not give.
func (f *Feature) given(names string) []field {
	var out []field
	all := f.fields()
	for _, name := range strings.Fields(names) {
		if at := slices.IndexFunc(all, func(d field) bool { return d.name == name }); at >= 0 && all[at].given {
			out = append(out, all[at])
		}
	}
	return out
}

// Lacks says which dimensions the kind of a feature needs and nobody has entered;
// empty where all are there.
func (f *Feature) Lacks() string {
	form := f.Kind.form()
	if form.lacks != nil {
		return form.lacks(f)
	}
	needs, _ := f.Kind.Dimensions()
	var missing []string
	for _, d := range f.fields() {
		if slices.Contains(needs, d.name) && !d.given {
			missing = append(missing, d.name)
		}
	}
	return needed(form.noun, missing)
}

// needed says what something needs; empty where nothing is missing.
func needed(noun string, missing []string) string {
	if len(missing) == 0 {
		return ""
	}
	return noun + " needs " + strings.Join(missing, " and ")
}

// Faults gives what is wrong with the dimensions of a feature: those that it has no
// use for, and those that leave nothing to cut.
func (f *Feature) Faults() []FieldFault {
	form := f.Kind.form()
	if form.kind == "" {
		return []FieldFault{{"kind", string(f.Kind) + " is no kind of feature"}}
	}
	needs, uses := f.Kind.Dimensions()
	var out []FieldFault
	for _, d := range f.fields() {
		switch needed := slices.Contains(needs, d.name); {
		case d.given && !needed && (d.name == "rz_um" || d.name == "ra_um") && !form.rough():
			out = append(out, FieldFault{d.name, form.noun + " takes no roughness; ask it of a " + roughKinds()})
		case d.given && !needed && !slices.Contains(uses, d.name):
			out = append(out, FieldFault{d.name, form.noun + " has no " + d.name + "; delete it" + form.otherwise(d.name)})
		}
	}
	if len(f.Tools) > 0 && f.Kind.ByHand() {
		out = append(out, FieldFault{"tools", form.noun + " asks for no tool of the book; delete it"})
	}
	if f.SpacingMM != nil && f.Count == nil {
		out = append(out, FieldFault{"spacing_mm", "is the way from one to the next of several alike; enter their count too, or delete it"})
	}
	if len(out) > 0 || f.Lacks() != "" {
		return out
	}
	return f.sizeFaults(form)
}

// sizeFaults compares the dimensions of a feature with one another, at their
// likely values.
func (f *Feature) sizeFaults(form featureForm) []FieldFault {
	var out []FieldFault
	if f.RzUM != nil && f.RaUM != nil {
		out = append(out, FieldFault{"ra_um", "one roughness is enough; keep rz_um or ra_um"})
	}
	if form.faults != nil {
		out = append(out, form.faults(f)...)
	}
	cut, field := likely(f.DepthMM), "depth"
	if form.wall != nil {
		cut, field = form.wall(f)
	}
	if f.AllowanceMM != nil && likely(f.AllowanceMM).GreaterThanOrEqual(cut) {
		out = append(out, FieldFault{"allowance_mm", fmt.Sprintf("leaves nothing to cut; it must be less than the %s %s", field, plain(cut))})
	}
	return out
}

func (f *Feature) turnFaults() []FieldFault {
	var out []FieldFault
	from, to := likely(f.DiameterMM), likely(f.ToDiameterMM)
	if !to.IsPositive() {
		out = append(out, FieldFault{"to_diameter_mm", "a turned length keeps a diameter of more than 0; use face_turn for a face"})
	}
	if to.GreaterThanOrEqual(from) {
		out = append(out, FieldFault{"to_diameter_mm", fmt.Sprintf("%s is not less than diameter_mm %s; turning makes it smaller", plain(to), plain(from))})
	}
	return out
}

func (f *Feature) inwardFaults() []FieldFault {
	from, to := likely(f.DiameterMM), likely(f.ToDiameterMM)
	if to.LessThan(from) {
		return nil
	}
	return []FieldFault{{"to_diameter_mm", fmt.Sprintf("%s is not less than diameter_mm %s; the cut runs inwards", plain(to), plain(from))}}
}

func (f *Feature) boreFaults() []FieldFault {
	from, to := likely(f.DiameterMM), likely(f.ToDiameterMM)
	if to.GreaterThan(from) {
		return nil
	}
	return []FieldFault{{"to_diameter_mm", fmt.Sprintf("%s is not more than diameter_mm %s; boring makes a hole larger", plain(to), plain(from))}}
}

func (f *Feature) turnedOff() (decimal.Decimal, string) { return f.toTheMiddle(), "depth turned off," }
func (f *Feature) boredOut() (decimal.Decimal, string) {
	return f.toTheMiddle().Neg(), "depth bored out,"
}

// toTheMiddle is half of what the diameter gets smaller by.
func (f *Feature) toTheMiddle() decimal.Decimal {
	return likely(f.DiameterMM).Sub(likely(f.ToDiameterMM)).Mul(decimal.New(5, -1))
}

// levelFaults refuses a cut that neither goes in nor out.
func (f *Feature) levelFaults() []FieldFault {
	if !f.toTheMiddle().IsZero() {
		return nil
	}
	return []FieldFault{{"to_diameter_mm", fmt.Sprintf("%s is diameter_mm again, so that nothing is cut; it is less than that outside, and more inside a hole", plain(likely(f.ToDiameterMM)))}}
}

// profileFaults wants a path that is no shorter than the straight line, to a millionth.
func (f *Feature) profileFaults() []FieldFault {
	length, wall := likely(f.LengthMM), f.wallDepth()
	straight := length.Mul(length).Add(wall.Mul(wall))
	if path := likely(f.PathMM); f.PathMM != nil && path.Mul(path).Mul(decimal.New(1_000_002, -6)).LessThan(straight) {
		return append(f.levelFaults(), FieldFault{"path_mm", fmt.Sprintf("%s is shorter than the straight line between both ends, over %s mm of length and %s mm of radius", plain(path), plain(length), plain(wall))})
	}
	return f.levelFaults()
}

// ringFaults refuses a ring that is wider than the pocket.
func (f *Feature) ringFaults() []FieldFault {
	if f.WidthMM == nil || likely(f.WidthMM).Mul(decimal.New(2, 0)).LessThan(likely(f.DiameterMM)) {
		return nil
	}
	return []FieldFault{{"width_mm", fmt.Sprintf("%s comes off each side of a hole that is there, and leaves no hole in a diameter of %s; delete it where none is there yet", plain(likely(f.WidthMM)), plain(likely(f.DiameterMM)))}}
}

// lacksSection wants the section that a saw goes through.
func (f *Feature) lacksSection() string {
	if f.DiameterMM == nil && (f.WidthMM == nil || f.DepthMM == nil) {
		return "a saw cut needs diameter_mm of a round bar, or width_mm and depth_mm of any other"
	}
	return ""
}

func (f *Feature) sectionFaults() []FieldFault {
	if f.DiameterMM == nil || f.WidthMM == nil && f.DepthMM == nil {
		return nil
	}
	return []FieldFault{{"diameter_mm", "is of a round bar, and width_mm and depth_mm are of another; keep one or the other"}}
}

// inside reports that a turned feature is cut from within a hole, at likely sizes.
func (f *Feature) inside() bool { return f.Inside || f.toTheMiddle().IsNegative() }

// along is how far a turned feature goes along the axis: the reach where it is inside.
func (f *Feature) along() decimal.Decimal {
	if !f.inside() {
		return decimal.Decimal{}
	}
	return likely(f.LengthMM)
}

// wallDepth is how far a cut goes in from where it begins, square to the axis.
func (f *Feature) wallDepth() decimal.Decimal { return f.toTheMiddle().Abs() }

// fromOutside is the reach to what lies open.
func (f *Feature) fromOutside() decimal.Decimal { return decimal.Decimal{} }

// slotFaults refuses an array in which no slot has room.
func (f *Feature) slotFaults() []FieldFault {
	room, slot, fin := likely(f.WidthMM), likely(f.SlotWidthMM), likely(f.FinWidthMM)
	if !f.OpenEdges {
		room = room.Sub(fin).Sub(fin)
	}
	if slot.GreaterThan(room) {
		return []FieldFault{{"slot_width_mm", fmt.Sprintf("no slot of %s mm has room in a width of %s mm with fins of %s mm",
			plain(slot), plain(likely(f.WidthMM)), plain(fin))}}
	}
	return nil
}

// cornerFaults refuses corners that do not fit side by side.
func (f *Feature) cornerFaults() []FieldFault {
	if f.CornerRadiusMM == nil {
		return nil
	}
	side, field := f.WidthMM, "width"
	if f.LengthMM.Likely.LessThan(f.WidthMM.Likely) {
		side, field = f.LengthMM, "length"
	}
	if both := f.CornerRadiusMM.Likely.Mul(decimal.New(2, 0)); both.LessThanOrEqual(side.Likely) {
		return nil
	}
	return []FieldFault{{"corner_radius_mm", fmt.Sprintf("%s is more than half the %s of %s mm; two corners would not fit beside one another",
		plain(f.CornerRadiusMM.Likely), field, plain(side.Likely))}}
}
