package bom

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"

	"github.com/shopspring/decimal"
)

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

// KeptAt reports whether a tool is at a work centre.
func (t *Tool) KeptAt(centre ID) bool {
	return len(t.WorkCentres) == 0 || slices.Contains(t.WorkCentres, centre)
}

// Misfit says why a tool cannot cut a feature at a work centre, by kind, place
// and size; "" where it can. Sizes are compared at their likely values.
func (t *Tool) Misfit(f *Feature, centre ID) string {
	if !t.KeptAt(centre) {
		return "is not kept at " + string(centre)
	}
	if kinds := f.Kind.ToolKinds(); !slices.Contains(kinds, t.Kind) {
		return fmt.Sprintf("is %s, and %s is cut by %s", t.Kind.Noun(), f.Kind.Noun(), ToolNouns(kinds))
	}
	if lacks := t.Lacks(); lacks != "" {
		return lacks
	}
	if faults := t.Faults(); len(faults) > 0 {
		return faults[0].Message
	}
	form := f.Kind.form()
	reason := t.tooShort(f, form)
	if reason == "" && form.misfit != nil {
		reason = form.misfit(t, f)
	}
	return cmp.Or(reason, t.tooBlunt(f))
}

// tooShort compares reach and depth. A saw without a stated reach cuts to less
// than half its diameter.
func (t *Tool) tooShort(f *Feature, form featureForm) string {
	depth := likely(f.DepthMM)
	if form.deep != nil {
		depth = form.deep(f)
	}
	switch {
	case t.ReachMM != nil && t.ReachMM.Likely.LessThan(depth):
		return fmt.Sprintf("reaches %s mm deep, and the depth is %s mm", plain(t.ReachMM.Likely), plain(depth))
	case t.ReachMM == nil && t.Kind == SlittingSaw && likely(t.DiameterMM).LessThanOrEqual(depth.Mul(decimal.New(2, 0))):
		return fmt.Sprintf("of diameter %s mm does not cut %s mm deep", plain(likely(t.DiameterMM)), plain(depth))
	}
	return ""
}

// beforeCut is the hole that a tool has to enter.
const beforeCut = "hole before the cut"

// wider compares the cutter with what it must go into.
func (t *Tool) wider(room *Number, of string) string {
	width, what := t.DiameterMM, "diameter"
	if t.Kind == SlittingSaw || t.Kind == PartingBlade && of != beforeCut {
		width, what = t.WidthMM, "width"
	}
	if room == nil || !likely(width).GreaterThan(room.Likely) {
		return ""
	}
	return fmt.Sprintf("has a %s of %s mm, which is wider than the %s of %s mm", what, plain(likely(width)), of, plain(room.Likely))
}

func (t *Tool) widePocket(f *Feature) string {
	return cmp.Or(t.wider(f.WidthMM, "pocket"), t.wider(f.LengthMM, "pocket"), t.roundsCorner(f))
}

func (t *Tool) wideThread(f *Feature) string {
	switch {
	case likely(t.DiameterMM).GreaterThanOrEqual(likely(f.DiameterMM)):
		return fmt.Sprintf("of diameter %s mm has no room in a thread of %s mm", plain(likely(t.DiameterMM)), plain(likely(f.DiameterMM)))
	case t.PitchMM != nil:
		return t.otherPitch(f)
	}
	return ""
}

func (t *Tool) roundsCorner(f *Feature) string {
	if f.CornerRadiusMM == nil || likely(t.DiameterMM).LessThanOrEqual(f.CornerRadiusMM.Likely.Mul(decimal.New(2, 0))) {
		return ""
	}
	return fmt.Sprintf("of diameter %s mm leaves a larger corner than the radius of %s mm", plain(likely(t.DiameterMM)), plain(f.CornerRadiusMM.Likely))
}

// otherDiameter wants tools that cut their own size to have that of the feature.
func (t *Tool) otherDiameter(f *Feature) string {
	if likely(t.DiameterMM).Equal(likely(f.DiameterMM)) {
		return ""
	}
	return fmt.Sprintf("cuts a diameter of %s mm, and %s mm is wanted", plain(likely(t.DiameterMM)), plain(likely(f.DiameterMM)))
}

func (t *Tool) otherPitch(f *Feature) string {
	if likely(t.PitchMM).Equal(likely(f.PitchMM)) {
		return ""
	}
	return fmt.Sprintf("cuts a pitch of %s mm, and %s mm is wanted", plain(likely(t.PitchMM)), plain(likely(f.PitchMM)))
}

// cutsInside keeps a tool that cuts from within a hole from what lies outside.
func (t *Tool) cutsInside(*Feature) string {
	if t.Kind == BoringTool || t.DiameterMM == nil || t.Kind.Rotates() {
		return ""
	}
	return "cuts inside a hole, since it has a diameter_mm"
}

// otherSide wants a tool for inside where the feature is inside, which enters the hole
// that is there, and one for outside elsewhere.
func (t *Tool) otherSide(f *Feature) string {
	switch inside := t.Kind == BoringTool || t.DiameterMM != nil; {
	case inside && !f.inside():
		return "cuts inside a hole, and this is cut from outside"
	case !inside && f.inside():
		return "cuts outside; for a hole enter a tool with diameter_mm, the smallest hole it enters"
	case f.Kind == ThreadTurn && f.Inside:
		hole := likely(f.DiameterMM).Sub(likely(f.PitchMM).Mul(decimal.New(1082532, -6))).Round(3)
		return t.wider(&Number{Likely: hole}, "hole before the thread")
	case inside:
		return t.wider(f.DiameterMM, beforeCut)
	}
	return ""
}

// tooNarrow keeps a blade from a groove deeper than eight times its width: source
// `parting-data`, in steel.
func (t *Tool) tooNarrow(f *Feature) string {
	most := likely(t.WidthMM).Mul(decimal.New(8, 0))
	if f.wallDepth().LessThanOrEqual(most) {
		return ""
	}
	return fmt.Sprintf("of width %s mm cuts no groove deeper than eight times that, and it is %s mm deep", plain(likely(t.WidthMM)), plain(f.wallDepth()))
}

// otherThread compares pitches where the tool has one: one that cuts any has none.
func (t *Tool) otherThread(f *Feature) string {
	if t.PitchMM == nil || f.PitchMM == nil {
		return ""
	}
	return t.otherPitch(f)
}

// narrowCone wants a cone that is as wide as the mark it leaves.
func (t *Tool) narrowCone(f *Feature) string {
	switch {
	case likely(t.DiameterMM).LessThan(likely(f.DiameterMM)):
		return fmt.Sprintf("of diameter %s mm leaves no cone of %s mm", plain(likely(t.DiameterMM)), plain(likely(f.DiameterMM)))
	case t.PointAngleDeg != nil && t.PointAngleDeg.High.GreaterThanOrEqual(Whole(180).Likely):
		return "has a flat point of 180°, which leaves no cone"
	}
	return ""
}

// flatOrSmaller wants a drill with a flat point of the diameter, or a mill that
// circles in it.
func (t *Tool) flatOrSmaller(f *Feature) string {
	if t.Kind == EndMill {
		return t.noCircle(f)
	}
	if t.PointAngleDeg == nil || !t.PointAngleDeg.Likely.Equal(Whole(180).Likely) {
		return "leaves a cone at the bottom; a flat one has a point_angle_deg of 180"
	}
	return t.otherDiameter(f)
}

// noCircle wants a mill that has room to circle.
func (t *Tool) noCircle(f *Feature) string {
	if likely(t.DiameterMM).LessThan(likely(f.DiameterMM)) {
		return ""
	}
	return fmt.Sprintf("of diameter %s mm has no room to circle in %s mm", plain(likely(t.DiameterMM)), plain(likely(f.DiameterMM)))
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

// LineWidth is how wide a tool engraves at a depth, in mm: an engraver as its tip,
// and with a point angle wider the deeper it goes; a ball mill the chord of its
// ball, or its diameter below half of that. Likely sizes count.
func (t *Tool) LineWidth(depth *Number) float64 {
	size, deep := likely(t.DiameterMM).InexactFloat64(), likely(depth).InexactFloat64()
	switch {
	case t.Kind == BallMill:
		deep = math.Min(deep, size/2)
		return 2 * math.Sqrt(deep*(size-deep))
	case t.PointAngleDeg != nil:
		return size + 2*deep*math.Tan(t.PointAngleDeg.Likely.InexactFloat64()*math.Pi/360)
	}
	return size
}

// LineText is the width that a tool engraves as a person reads it, rounded up to
// 0.0001 mm, so that a line of that width can be cut.
func (t *Tool) LineText(depth *Number) string {
	return strconv.FormatFloat(math.Ceil(t.LineWidth(depth)*1e4-1e-5)/1e4, 'f', -1, 64)
}

// wideLine compares the line that a tool cuts with the one that is wanted, to nine
// places as the graph does.
func (t *Tool) wideLine(f *Feature) string {
	switch {
	case t.PointAngleDeg != nil && t.PointAngleDeg.High.GreaterThanOrEqual(Whole(180).Likely):
		return "has a flat point of 180°, which cuts no line of a width"
	case f.WidthMM == nil || t.LineWidth(f.DepthMM) <= likely(f.WidthMM).InexactFloat64()+1e-9:
		return ""
	}
	return fmt.Sprintf("cuts a line of %s mm at a depth of %s mm, which is wider than the line of %s mm", t.LineText(f.DepthMM), plain(likely(f.DepthMM)), plain(likely(f.WidthMM)))
}
