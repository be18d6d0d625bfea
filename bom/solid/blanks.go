package solid

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
)

// Fit is a blank that a part can be cut from, with the finished size of the part as it
// lies in it.
type Fit struct {
	Stock    *bom.Stock
	Blank    bom.Blank
	Finished bom.Envelope
	BlankMM3 float64
	// BuyToFly is the volume of the blank by that of the part. What a bar or sheet leaves
	// over comes on top, and is told by the estimate.
	BuyToFly float64
}

// drawn is how much smaller than the part a section may be: what the last place of a
// drawing and flat triangles leave.
const drawn = 0.05

// Blanks proposes a blank from each stock that the part has room in, the smallest first.
// Along a length that is cut off, an allowance in mm is added at either end. Tubes,
// extrusions and near-net blanks are not proposed, as it is not known whether the part
// lies in what they have of metal.
func (m Measures) Blanks(stocks []bom.Stock, allowanceMM decimal.Decimal) []Fit {
	allowance := allowanceMM.InexactFloat64()
	var out []Fit
	for i := range stocks {
		var best *Fit
		for axis := range 3 {
			fit, ok := m.lying(&stocks[i], axis, allowance)
			if ok && (best == nil || fit.BlankMM3 < best.BlankMM3) {
				best = &fit
			}
		}
		if best != nil {
			best.BuyToFly = best.BlankMM3 / m.VolumeMM3
			out = append(out, *best)
		}
	}
	slices.SortStableFunc(out, func(a, b Fit) int { return cmp.Compare(a.BlankMM3, b.BlankMM3) })
	return out
}

// lying is the part with one of its axes along the length of a bar, or across a sheet.
func (m Measures) lying(s *bom.Stock, axis int, allowance float64) (Fit, bool) {
	size := m.Size()
	length, wide, narrow := size[axis]+2*allowance, size[(axis+1)%3], size[(axis+2)%3]
	if wide < narrow {
		wide, narrow = narrow, wide
	}
	fit := Fit{Stock: s, Blank: bom.Blank{Stock: s.ID}}
	switch {
	case s.Form == bom.Bar && s.DiameterMM != nil:
		bar := likely(s.DiameterMM)
		if m.RoundMM[axis] > bar+drawn || length > likely(&s.LengthMM) {
			return fit, false
		}
		fit.Blank.LengthMM, fit.BlankMM3 = Length(length), piQuarter*bar*bar*length
	case s.Form == bom.Bar && s.WidthMM != nil && s.ThicknessMM != nil:
		a, b := likely(s.WidthMM), likely(s.ThicknessMM)
		if wide > max(a, b)+drawn || narrow > min(a, b)+drawn || length > likely(&s.LengthMM) {
			return fit, false
		}
		fit.Blank.LengthMM, fit.BlankMM3 = Length(length), a*b*length
	case (s.Form == bom.Square || s.Form == bom.Hexagon) && s.AcrossFlatsMM != nil:
		flats := likely(s.AcrossFlatsMM)
		across, section := wide, flats*flats
		if s.Form == bom.Hexagon {
			across, section = m.HexMM[axis], flats*flats*rootOf3/2
		}
		if across > flats+drawn || length > likely(&s.LengthMM) {
			return fit, false
		}
		fit.Blank.LengthMM, fit.BlankMM3 = Length(length), section*length
	case (s.Form == bom.Plate || s.Form == bom.Sheet) && s.ThicknessMM != nil && s.WidthMM != nil:
		thick := likely(s.ThicknessMM)
		l, w := wide+2*allowance, narrow+2*allowance
		sheetL, sheetW := likely(&s.LengthMM), likely(s.WidthMM)
		if size[axis] > thick+drawn || l > max(sheetL, sheetW) || w > min(sheetL, sheetW) {
			return fit, false
		}
		fit.Blank.LengthMM, fit.Blank.WidthMM, fit.BlankMM3 = Length(l), Length(w), l*w*thick
	default:
		return fit, false
	}
	fit.Finished = m.Envelope()
	return fit, true
}

const (
	piQuarter = 0.78539816339744830962
	rootOf3   = 1.73205080756887729353
)

// Envelope is the finished size as the book has it: length and diameter of a round part,
// else the sides of the box, the longest first.
func (m Measures) Envelope() bom.Envelope {
	size := m.Size()
	if axis := m.Axis(); axis >= 0 {
		return bom.Envelope{LengthMM: Length(size[axis]), DiameterMM: Length(max(size[(axis+1)%3], size[(axis+2)%3]))}
	}
	sides := []float64{size[0], size[1], size[2]}
	slices.Sort(sides)
	return bom.Envelope{LengthMM: Length(sides[2]), WidthMM: Length(sides[1]), ThicknessMM: Length(sides[0])}
}

// VolumeCM3 is the volume in cm³, to five digits.
func (m Measures) VolumeCM3() *bom.Number { return digits(m.VolumeMM3/1000, 5) }

// SurfaceDM2 is the surface in dm², to five digits.
func (m Measures) SurfaceDM2() *bom.Number { return digits(m.SurfaceMM2/10_000, 5) }

// Ratio is how many times the volume of the part the blank has, to three digits.
func (f Fit) Ratio() *bom.Number { return digits(f.BuyToFly, 3) }

// MassG is the mass in grams at a density in g/cm³.
func (m Measures) MassG(densityGCM3 bom.Number) *bom.Number {
	return digits(m.VolumeMM3/1000*likely(&densityGCM3), 4)
}

// Length is a length as it is entered: to a hundredth of a mm.
func Length(mm float64) *bom.Number { return entered(strconv.FormatFloat(mm, 'f', 2, 64)) }

// digits is a figure as it is entered: to some digits.
func digits(x float64, count int) *bom.Number {
	return entered(strconv.FormatFloat(x, 'f', max(0, count-1-int(math.Floor(math.Log10(x)))), 64))
}

func entered(text string) *bom.Number {
	d, err := decimal.NewFromString(text)
	if err != nil {
		return nil
	}
	n := bom.Exactly(d)
	return &n
}

func likely(n *bom.Number) float64 { return n.Likely.InexactFloat64() }
