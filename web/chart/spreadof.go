package chart

import (
	"math"
	"strings"
)

// SpreadOf draws small how the values of a range are spread, to stand beside its fields.
type SpreadOf struct {
	Path, Likely string // the outline; the place of the likely value
}

const (
	spreadLeft, spreadRight   = 4.0, 116.0
	spreadTop, spreadGround   = 4.0, 34.0
	spreadPoints              = 48
	leastSpread, shapeOfATail = 1e-9, 4 // of a PERT: how much the likely value weighs
)

// NewSpreadOf draws a range; false where the numbers are none.
func NewSpreadOf(low, likely, high, deviation float64, shape string) (SpreadOf, bool) {
	if high-low < leastSpread || likely < low || likely > high || shape == "normal" && deviation <= 0 {
		return SpreadOf{}, false
	}
	at := (likely - low) / (high - low)
	height := map[string]func(t float64) float64{
		"":        func(t float64) float64 { return peaked(t, at) },
		"uniform": func(float64) float64 { return 1 },
		"pert":    func(t float64) float64 { return rounded(t, at) },
		"normal":  func(t float64) float64 { return math.Exp(-math.Pow((t-at)*(high-low)/deviation, 2) / 2) },
	}[strings.TrimPrefix(shape, "triangular")]
	if height == nil {
		return SpreadOf{}, false
	}
	x := func(t float64) string { return pixels(spreadLeft + t*(spreadRight-spreadLeft)) }
	var path strings.Builder
	path.WriteString("M" + x(0) + " " + pixels(spreadGround))
	for i := range spreadPoints + 1 {
		t := float64(i) / spreadPoints
		path.WriteString("L" + x(t) + " " + pixels(spreadGround-height(t)*(spreadGround-spreadTop)))
	}
	path.WriteString("L" + x(1) + " " + pixels(spreadGround) + "Z")
	return SpreadOf{path.String(), x(at)}, true
}

func peaked(t, at float64) float64 {
	if t <= at && at > 0 {
		return t / at
	}
	return (1 - t) / (1 - at)
}

// rounded is the density of a PERT as a share of its highest.
func rounded(t, at float64) float64 {
	a, b := shapeOfATail*at, shapeOfATail*(1-at)
	return math.Pow(t, a) * math.Pow(1-t, b) / (math.Pow(at, a) * math.Pow(1-at, b))
}
