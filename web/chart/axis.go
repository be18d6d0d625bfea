package chart

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"github.com/shopspring/decimal"

	"kerfbook/costing/papers/show"
)

// Axis is a scale with round ticks: one, two or five times a power of ten.
type Axis struct {
	Label string // what is measured, with its unit
	Ticks []Tick
	// Log says that equal lengths stand for equal ratios.
	Log       bool
	low, high float64
}

// Tick is a round number on an axis. At is its place as a share of the width, Y
// its place below the top of the drawing on an upright axis.
type Tick struct {
	At, Text string
	Y        string
	// Class tells where a tick is shown: "fine" where there is room, "rough"
	// where there is little, empty for both.
	Class string
	value float64
}

// Pixels that a plot has at least: on the narrowest phone, and where the style
// sheet shows what needs room.
const (
	narrowRoom = 160.0
	wideRoom   = 380.0
	charWidth  = 7.7 // of the text at ticks and flags, in a wide font
	textGap    = 14.0
)

// Most ticks that an axis gets.
const (
	mostTicks        = 8
	mostUprightTicks = 5
)

// logFrom is the ratio of the ends above which an axis is logarithmic.
const logFrom = 8

// newAxis lays out an axis along the page that reaches from low to high exactly.
func newAxis(label string, low, high float64) Axis {
	a := Axis{Label: label}
	a.low, a.high = widened(low, high)
	step, wide := a.linear(wideRoom, -1)
	_, narrow := a.linear(narrowRoom, placesOf(step))
	a.merge(wide, narrow)
	return a
}

// newLogAxis is logarithmic where the ends are far apart, else as newAxis.
func newLogAxis(label string, low, high float64) Axis {
	if low <= 0 || high/low <= logFrom {
		return newAxis(label, low, high)
	}
	a := Axis{Label: label + ", logarithmic scale", Log: true, low: low, high: high}
	a.merge(a.logarithmic(wideRoom), a.logarithmic(narrowRoom))
	return a
}

// newUpright lays out an axis that stands, from tick to tick.
func newUpright(label string, low, high float64) Axis {
	a := Axis{Label: label}
	low, high = widened(low, high)
	step := roundStep((high - low) / mostUprightTicks)
	a.low, a.high = math.Floor(low/step+tiny)*step, math.Ceil(high/step-tiny)*step
	for _, v := range multiples(a.low, a.high, step) {
		a.Ticks = append(a.Ticks, Tick{Text: written(v, placesOf(step)), value: v})
	}
	return a
}

// newLogUpright is the same on a logarithmic scale.
func newLogUpright(label string, low, high float64) Axis {
	a := Axis{Label: label + ", logarithmic scale", Log: true, low: low, high: high}
	for _, t := range a.logarithmic(mostUprightTicks * 2 * (charWidth + textGap)) {
		a.Ticks = append(a.Ticks, Tick{Text: t.text, value: t.value})
	}
	return a
}

// share gives where a value stands on the axis, from 0 to 1.
func (a Axis) share(v float64) float64 {
	low, high := a.low, a.high
	if a.Log {
		v, low, high = math.Log(max(v, low)), math.Log(low), math.Log(high)
	}
	return min(1, max(0, (v-low)/(high-low)))
}

// raise sets how far below the top the ticks of an upright axis stand.
func (a *Axis) raise(top, height int) {
	for i, t := range a.Ticks {
		a.Ticks[i].Y = a.y(t.value, top, height)
	}
}

// y gives how far below the top of the drawing a value stands.
func (a Axis) y(v float64, top, height int) string {
	return pixels(float64(top) + (1-a.share(v))*float64(height))
}

// longest counts the characters of the longest tick.
func (a Axis) longest() int {
	n := 0
	for _, t := range a.Ticks {
		n = max(n, len([]rune(t.Text)))
	}
	return n
}

// tick is a tick before it is placed.
type tick struct {
	value float64
	text  string
}

// linear finds the most ticks that fit beside each other. Negative places stand
// for those the step needs.
func (a Axis) linear(room float64, places int32) (step float64, out []tick) {
	for n := mostTicks; n > 0; n-- {
		step = roundStep((a.high - a.low) / float64(n))
		digits := places
		if digits < 0 {
			digits = placesOf(step)
		}
		out = nil
		need := 0.0
		for _, v := range multiples(a.low, a.high, step) {
			t := tick{v, written(v, digits)}
			out = append(out, t)
			need += textWidth(t.text) + textGap
		}
		if need <= room {
			break
		}
	}
	return step, out
}

// logarithmic takes every power of ten, or every second and so on, so that the
// texts fit beside each other; then five and two times the powers, each if all of
// them fit.
func (a Axis) logarithmic(room float64) []tick {
	out := a.decades(1, 1)
	stride := 1
	for !a.apart(out, room) {
		stride++
		out = a.decades(1, stride)
	}
	for _, lead := range []int64{5, 2} {
		if more := append(slices.Clone(out), a.decades(lead, 1)...); stride == 1 && a.apart(more, room) {
			out = more
		}
	}
	slices.SortFunc(out, byValue)
	return out
}

// decades lists the multiples of powers of ten on the axis.
func (a Axis) decades(lead int64, stride int) []tick {
	var out []tick
	first, last := int(math.Floor(math.Log10(a.low))), int(math.Ceil(math.Log10(a.high)))
	for k := first; k <= last; k += stride {
		d := decimal.New(lead, int32(k))
		if v := d.InexactFloat64(); v >= a.low*(1-tiny) && v <= a.high*(1+tiny) {
			out = append(out, tick{v, d.String()})
		}
	}
	return out
}

// apart tells whether the texts of ticks fit beside each other.
func (a Axis) apart(ticks []tick, room float64) bool {
	sorted := slices.SortedFunc(slices.Values(ticks), byValue)
	for i := 1; i < len(sorted); i++ {
		l, r := sorted[i-1], sorted[i]
		if (a.share(r.value)-a.share(l.value))*room < (textWidth(l.text)+textWidth(r.text))/2+textGap/2 {
			return false
		}
	}
	return true
}

func byValue(x, y tick) int { return cmp.Compare(x.value, y.value) }

// merge shows the ticks of both lists, each where it has room.
func (a *Axis) merge(wide, narrow []tick) {
	named := func(list []tick, t tick) bool {
		return slices.ContainsFunc(list, func(o tick) bool { return o.text == t.text })
	}
	both := slices.Clone(wide)
	for _, t := range narrow {
		if !named(wide, t) {
			both = append(both, t)
		}
	}
	slices.SortFunc(both, byValue)
	for _, t := range both {
		class := ""
		if !named(narrow, t) {
			class = "fine"
		} else if !named(wide, t) {
			class = "rough"
		}
		a.Ticks = append(a.Ticks, Tick{At: percent(a.share(t.value)), Text: t.text, Class: class, value: t.value})
	}
}

// tiny is how far a number may miss a tick by rounding, in steps.
const tiny = 1e-9

// widened makes room around values that are all the same.
func widened(low, high float64) (float64, float64) {
	if size := max(math.Abs(low), math.Abs(high)); high-low <= max(size, 1)*1e-12 {
		pad := max(size*0.05, 1e-6)
		if size == 0 {
			pad = 1
		}
		return low - pad, high + pad
	}
	return low, high
}

// roundStep is the smallest of 1, 2, 5 times a power of ten that is not below x.
func roundStep(x float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(x)))
	for _, m := range []float64{1, 2, 5} {
		if m*power >= x*(1-tiny) {
			return m * power
		}
	}
	return 10 * power
}

// multiples lists the multiples of a step from low to high.
func multiples(low, high, step float64) []float64 {
	var out []float64
	for k := math.Ceil(low/step - tiny); k <= high/step+tiny; k++ {
		out = append(out, k*step)
	}
	return out
}

// placesOf is how many decimals the multiples of a round step need.
func placesOf(step float64) int32 {
	return int32(max(0, math.Ceil(-math.Log10(step)-tiny)))
}

// written writes a number with fixed decimals and a real minus.
func written(v float64, places int32) string {
	d := decimal.NewFromFloat(v).Round(places)
	if d.IsNegative() {
		return "−" + show.Places(d.Neg(), places)
	}
	return show.Places(d, places)
}

// textWidth estimates how wide a text is, in pixels.
func textWidth(text string) float64 { return charWidth * float64(len([]rune(text))) }

// percent writes a share as an attribute, such as 37.25%.
func percent(share float64) string {
	return strconv.FormatFloat(100*min(1, max(0, share)), 'f', 2, 64) + "%"
}

// pixels writes a length as an attribute.
func pixels(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }
