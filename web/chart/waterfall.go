package chart

import (
	"fmt"

	"github.com/shopspring/decimal"
)

// Step is one bar of a waterfall.
type Step struct {
	Mark
	// Total starts at zero: a subtotal of the steps before it. Any other step
	// stands on the end of the one before.
	Total bool
	// Class names the look of the bar.
	Class string
	Least string // what is drawn of a figure that has a bound and no value
}

func (s Step) number() decimal.Decimal {
	if s.Value == "" {
		return Mark{Value: s.Least}.number()
	}
	return s.Mark.number()
}

// Waterfall is a chart in which each bar starts where the one before ended.
type Waterfall struct {
	ID          string
	Title, Desc string
	Bars        []Bar
}

// Bar is a bar with its place in a drawing of its own, so that a chart may break
// between bars on paper. X and Width are shares of the width; End is where the
// next bar starts.
type Bar struct {
	Mark
	Class             string
	X, Width, End     string
	TextY, Y, LinkEnd int
	Linked            bool
}

// Heights of one row: the line of text, and the bar below it.
const (
	rowHeight = 44
	textLine  = 15
	barTop    = 21
	barHeight = 14
)

// BarHeight is how high every bar is drawn.
func (Bar) BarHeight() int { return barHeight }

// RowHeight is how high the drawing of each bar is.
func (Waterfall) RowHeight() int { return rowHeight }

// NewWaterfall lays out the steps so that widest spans the whole width; charts
// that share it can be compared.
func NewWaterfall(id, title, desc string, steps []Step, widest decimal.Decimal) Waterfall {
	w := Waterfall{ID: id, Title: title, Desc: desc}
	level := decimal.Zero
	for i, s := range steps {
		from := level
		if s.Total {
			from = decimal.Zero
		}
		level = from.Add(s.number())
		w.Bars = append(w.Bars, Bar{
			Mark: s.Mark, Class: s.Class,
			X: share(decimal.Min(from, level), widest), Width: share(s.number().Abs(), widest), End: share(level, widest),
			TextY: textLine, Y: barTop, LinkEnd: rowHeight + barTop,
			Linked: i < len(steps)-1,
		})
	}
	return w
}

// Widest is the highest level that any of the steps reaches.
func Widest(charts ...[]Step) decimal.Decimal {
	widest := decimal.Zero
	for _, steps := range charts {
		level := decimal.Zero
		for _, s := range steps {
			if s.Total {
				level = decimal.Zero
			}
			level = level.Add(s.number())
			widest = decimal.Max(widest, level)
		}
	}
	return widest
}

// share writes part of a whole as an attribute, such as 37.25%.
func share(part, whole decimal.Decimal) string {
	if !whole.IsPositive() || !part.IsPositive() {
		return "0%"
	}
	return fmt.Sprintf("%s%%", part.Shift(2).DivRound(whole, 2).StringFixed(2))
}
