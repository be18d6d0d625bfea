package bom

import (
	"fmt"
	"slices"

	"github.com/shopspring/decimal"
)

// sizeFaults compares the dimensions of a feature with one another, at their
// likely values.
func (f *Feature) sizeFaults() []FieldFault {
	var out []FieldFault
	add := func(bad bool, field, format string, args ...any) {
		if bad {
			out = append(out, FieldFault{field, fmt.Sprintf(format, args...)})
		}
	}
	add(f.RzUM != nil && f.RaUM != nil, "ra_um", "one roughness is enough; keep rz_um or ra_um")
	from, to := likely(f.DiameterMM), likely(f.ToDiameterMM)
	switch f.Kind {
	case Turn:
		add(!to.IsPositive(), "to_diameter_mm", "a turned length keeps a diameter of more than 0; use face_turn for a face")
		add(to.GreaterThanOrEqual(from), "to_diameter_mm", "%s is not less than diameter_mm %s; turning makes it smaller", plain(to), plain(from))
	case FaceTurn, PartOff:
		add(to.GreaterThanOrEqual(from), "to_diameter_mm", "%s is not less than diameter_mm %s; the cut runs inwards", plain(to), plain(from))
	case Bore:
		add(to.LessThanOrEqual(from), "to_diameter_mm", "%s is not more than diameter_mm %s; boring makes a hole larger", plain(to), plain(from))
	case SlotArray:
		out = append(out, f.slotFaults()...)
	case Pocket:
		out = append(out, f.cornerFaults()...)
	}
	cut, field := f.cutDepth()
	add(f.AllowanceMM != nil && likely(f.AllowanceMM).GreaterThanOrEqual(cut), "allowance_mm",
		"leaves nothing to cut; it must be less than the %s %s", field, plain(cut))
	return out
}

// cutDepth is the depth that an allowance is taken off, and what it is called.
func (f *Feature) cutDepth() (decimal.Decimal, string) {
	half := decimal.New(5, -1)
	switch f.Kind {
	case Turn:
		return likely(f.DiameterMM).Sub(likely(f.ToDiameterMM)).Mul(half), "depth turned off,"
	case Bore:
		return likely(f.ToDiameterMM).Sub(likely(f.DiameterMM)).Mul(half), "depth bored out,"
	}
	return likely(f.DepthMM), "depth"
}

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

// halfDiameter is the radius of the tool, in mm.
func (t *Tool) halfDiameter() decimal.Decimal { return likely(t.DiameterMM).Mul(decimal.New(5, -1)) }

// Slender reports whether a boring bar has to reach deeper than four times its
// diameter, at likely sizes.
func (t *Tool) Slender(f *Feature) bool {
	bar := likely(t.DiameterMM).Mul(decimal.New(8, -1))
	if t.BarDiameterMM != nil {
		bar = t.BarDiameterMM.Likely
	}
	return likely(f.DepthMM).GreaterThan(bar.Mul(decimal.New(4, 0)))
}

// reachesArbor reports whether a saw is said to reach its own centre.
func (t *Tool) reachesArbor() bool {
	return t.Kind == SlittingSaw && t.ReachMM != nil && t.DiameterMM != nil && t.ReachMM.Likely.GreaterThanOrEqual(t.halfDiameter())
}

// Beyond reports whether the product of numbers at their likely values is more
// than so many times the product of limits at their high ones.
func Beyond(numbers []Number, times int64, limits ...Number) bool {
	value, most := decimal.New(1, 0), decimal.New(times, 0)
	for _, n := range numbers {
		value = value.Mul(n.Likely)
	}
	for _, n := range limits {
		most = most.Mul(n.High)
	}
	return value.GreaterThan(most)
}

// BeyondLine is [Beyond] with a limit that lies, at x, on the straight line between
// two points.
func BeyondLine(n Number, times int64, x Number, xs, ys [2]Number) bool {
	left, right := x.Likely.Sub(xs[0].Likely), xs[1].Likely.Sub(x.Likely)
	most := ys[0].High.Mul(right).Add(ys[1].High.Mul(left)).Mul(decimal.New(times, 0))
	return n.Likely.Mul(left.Add(right)).GreaterThan(most)
}

func likely(n *Number) decimal.Decimal {
	if n == nil {
		return decimal.Decimal{}
	}
	return n.Likely
}

// Misfit says why a tool cannot cut a feature at a work centre, by kind, place
// and size; "" where it can. Sizes are compared at their likely values.
func (t *Tool) Misfit(f *Feature, centre ID) string {
	if len(t.WorkCentres) > 0 && !slices.Contains(t.WorkCentres, centre) {
		return "is not kept at " + string(centre)
	}
	if kinds := f.Kind.ToolKinds(); !slices.Contains(kinds, t.Kind) {
		return fmt.Sprintf("is %s, and %s is cut by %s", t.Kind.Noun(), f.Kind.Noun(), ToolNouns(kinds))
	}
	if faults := t.Faults(); len(faults) > 0 {
		return faults[0].Message
	}
	for _, reason := range []string{t.tooShort(f), t.tooWide(f), t.otherSize(f), t.tooBlunt(f)} {
		if reason != "" {
			return reason
		}
	}
	return ""
}

// tooShort compares reach and depth. A saw without a stated reach cuts to less
// than half its diameter.
func (t *Tool) tooShort(f *Feature) string {
	two := decimal.New(2, 0)
	depth := likely(f.DepthMM)
	if f.Kind == PartOff {
		depth = likely(f.DiameterMM).Sub(likely(f.ToDiameterMM)).Mul(decimal.New(5, -1))
	}
	if f.Kind == Turn || f.Kind == FaceTurn || f.Kind == FinishFace {
		return ""
	}
	switch {
	case t.ReachMM != nil && t.ReachMM.Likely.LessThan(depth):
		return fmt.Sprintf("reaches %s mm deep, and the depth is %s mm", plain(t.ReachMM.Likely), plain(depth))
	case t.ReachMM == nil && t.Kind == SlittingSaw && likely(t.DiameterMM).LessThanOrEqual(depth.Mul(two)):
		return fmt.Sprintf("of diameter %s mm does not cut %s mm deep", plain(likely(t.DiameterMM)), plain(depth))
	}
	return ""
}

// tooWide compares the cutter with what it must go into.
func (t *Tool) tooWide(f *Feature) string {
	width, what := t.DiameterMM, "diameter"
	if t.Kind == SlittingSaw {
		width, what = t.WidthMM, "width"
	}
	wider := func(room *Number, of string) string {
		if room == nil || !likely(width).GreaterThan(room.Likely) {
			return ""
		}
		return fmt.Sprintf("has a %s of %s mm, which is wider than the %s of %s mm", what, plain(likely(width)), of, plain(room.Likely))
	}
	switch f.Kind {
	case Slot:
		return wider(f.WidthMM, "slot")
	case SlotArray:
		return wider(f.SlotWidthMM, "slot")
	case Pocket:
		if reason := wider(f.WidthMM, "pocket"); reason != "" {
			return reason
		}
		if reason := wider(f.LengthMM, "pocket"); reason != "" {
			return reason
		}
		return t.roundsCorner(f)
	case Contour:
		return t.roundsCorner(f)
	case Bore:
		return wider(f.DiameterMM, "hole before boring")
	case Engrave:
		return t.wideLine(f)
	case ThreadMill:
		if likely(width).GreaterThanOrEqual(likely(f.DiameterMM)) {
			return fmt.Sprintf("of diameter %s mm has no room in a thread of %s mm", plain(likely(width)), plain(likely(f.DiameterMM)))
		}
	}
	return ""
}

func (t *Tool) roundsCorner(f *Feature) string {
	if f.CornerRadiusMM == nil || likely(t.DiameterMM).LessThanOrEqual(f.CornerRadiusMM.Likely.Mul(decimal.New(2, 0))) {
		return ""
	}
	return fmt.Sprintf("of diameter %s mm leaves a larger corner than the radius of %s mm", plain(likely(t.DiameterMM)), plain(f.CornerRadiusMM.Likely))
}

// otherSize wants tools that cut their own size to have that of the feature.
func (t *Tool) otherSize(f *Feature) string {
	if (f.Kind == Drill || f.Kind == Tap) && !likely(t.DiameterMM).Equal(likely(f.DiameterMM)) {
		return fmt.Sprintf("cuts a diameter of %s mm, and %s mm is wanted", plain(likely(t.DiameterMM)), plain(likely(f.DiameterMM)))
	}
	if (f.Kind == Tap || f.Kind == ThreadMill && t.PitchMM != nil) && !likely(t.PitchMM).Equal(likely(f.PitchMM)) {
		return fmt.Sprintf("cuts a pitch of %s mm, and %s mm is wanted", plain(likely(t.PitchMM)), plain(likely(f.PitchMM)))
	}
	return ""
}

// tooBlunt wants what a roughness follows from.
func (t *Tool) tooBlunt(f *Feature) string {
	switch {
	case f.RzUM == nil && f.RaUM == nil || t.Wiper:
		return ""
	case t.Kind == BallMill && f.RzUM == nil:
		return "leaves scallops, whose height is asked for as rz_um"
	case t.Kind == BallMill:
		return t.lowScallops(f)
	case t.NoseRadiusMM == nil:
		return "has no nose_radius_mm, from which roughness follows"
	}
	return ""
}

// lowScallops wants scallops that are lower than the radius of the ball.
func (t *Tool) lowScallops(f *Feature) string {
	if f.RzUM.Likely.LessThan(likely(t.DiameterMM).Mul(decimal.New(500, 0))) {
		return ""
	}
	return fmt.Sprintf("cannot leave scallops of %s µm, which is more than its radius", plain(f.RzUM.Likely))
}
