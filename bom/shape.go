package bom

import (
	"fmt"

	"github.com/shopspring/decimal"
)

// Shape says how the values of a range are spread between low and high.
type Shape uint8

// The shapes. A bare low, likely and high is triangular.
const (
	Triangular Shape = iota // straight lines up from low to likely, and down to high
	Pert                    // beta curve with its peak at likely and four times its weight there
	Uniform                 // every value alike; likely is what is counted with
	Normal                  // bell curve around likely with deviation SD, cut off at low and high
	ShapeCount
)

var shapeNames = [ShapeCount]string{Triangular: "triangular", Pert: "pert", Uniform: "uniform", Normal: "normal"}

// String gives the word a book uses.
func (s Shape) String() string {
	if s >= ShapeCount {
		return fmt.Sprintf("shape %d", uint8(s))
	}
	return shapeNames[s]
}

// ShapeNames lists the words a book may use, in the order of the shapes.
func ShapeNames() []string { return append([]string{}, shapeNames[:]...) }

// ParseShape finds the shape of a word. For any other text ok is false and the
// shape is Triangular, which is also what no word means.
func ParseShape(word string) (shape Shape, ok bool) {
	for s, name := range shapeNames {
		if name == word {
			return Shape(s), true
		}
	}
	return 0, false
}

// widest is the most times the width of its range a deviation may have. The
// density of a normal curve is at most 0.3990 ÷ deviation, so that beyond it
// less than a millionth of the curve would lie within the range.
var widest = decimal.NewFromInt(400_000)

// RangeFault says what keeps three figures, a shape and a deviation from being a
// range, and which of them is to be put right.
type RangeFault struct {
	Field   string // low, likely, high, shape or sd
	Problem string
}

// Fault gives what is wrong with a range; nil for a range that can be drawn from
// and for a single figure.
func (n Number) Fault() *RangeFault {
	if !n.IsRange {
		return nil
	}
	switch {
	case n.Low.GreaterThan(n.Likely):
		return &RangeFault{"low", fmt.Sprintf("low %s is above likely %s; low, likely and high must not fall", plain(n.Low), plain(n.Likely))}
	case n.Likely.GreaterThan(n.High):
		return &RangeFault{"high", fmt.Sprintf("high %s is below likely %s; low, likely and high must not fall", plain(n.High), plain(n.Likely))}
	case n.Shape >= ShapeCount:
		return &RangeFault{"shape", fmt.Sprintf("%s is not known", n.Shape)}
	}
	return n.deviationFault()
}

func (n Number) deviationFault() *RangeFault {
	switch {
	case n.Shape != Normal && !n.SD.IsZero():
		return &RangeFault{"sd", fmt.Sprintf("sd belongs to a normal shape alone, and this one is %s; leave sd out, or write shape: normal", n.Shape)}
	case n.Shape != Normal:
		return nil
	case !n.SD.IsPositive():
		return &RangeFault{"sd", fmt.Sprintf("sd %s must be more than 0", plain(n.SD))}
	case n.Low.LessThan(n.High) && n.SD.GreaterThan(n.High.Sub(n.Low).Mul(widest)):
		return &RangeFault{"sd", fmt.Sprintf("less than a millionth of a curve with sd %s lies between low %s and high %s; "+
			"make sd smaller, or write shape: uniform", plain(n.SD), plain(n.Low), plain(n.High))}
	}
	return nil
}

// plain writes a decimal with the places it was typed with.
func plain(d decimal.Decimal) string { return d.StringFixed(max(0, -d.Exponent())) }

// Broken is how far a feature breaks an edge, in mm; nil of one that breaks none, as a profile that is
// not turned at 45°.
func (f *Feature) Broken() *Number {
	switch {
	case f.Kind == Chamfer:
		return f.WidthMM
	case f.Kind == TurnProfile && f.DiameterMM.Likely.Sub(f.ToDiameterMM.Likely).Abs().Equal(f.LengthMM.Likely.Add(f.LengthMM.Likely)):
		return f.LengthMM
	}
	return nil
}
