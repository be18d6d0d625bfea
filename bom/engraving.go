package bom

import (
	"fmt"
	"math"
	"strconv"
)

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
