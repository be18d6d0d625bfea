package chart

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"github.com/shopspring/decimal"
)

// BridgeData leads from one total to another by what went up and down. The text
// of a change is written with its sign. Difference is the sum of the changes, for
// the table; it may be left empty.
type BridgeData struct {
	ID, Title, Desc        string
	Unit                   string
	Start, End, Difference Mark
	Changes                []Mark
}

// Bridge is a waterfall from one total to another.
type Bridge struct {
	ID, Title, Desc string
	Scale           Axis
	Rows            []BridgeBar
	Zero            string // where zero is, empty where it is not on the scale
	Cut             bool   // the bars of the totals begin at the edge, not at zero
	Table           Table
}

// BridgeBar is a total or a change with its place. From is where the bar before
// ended; a line leads there.
type BridgeBar struct {
	Mark
	Class, Word   string
	X, Width      string
	From          string
	First, Others bool
}

const (
	// mostChanges are drawn, the largest of them; all others are drawn as one.
	mostChanges = 16
	// cutFrom is how many times the reach of the levels the lowest of them must be
	// for the bars of the totals to be cut off.
	cutFrom = 2
)

// addsWithin is how far, relative to the larger total, the changes may miss the
// end: what rounding to 34 digits, or shares worked out in floating point, leave.
var addsWithin = decimal.New(1, -9)

// NewBridge lays out a bridge. Changes keep their order; those that do not add up are
// refused.
func NewBridge(d BridgeData) (Bridge, error) {
	steps, err := d.steps()
	if err != nil {
		return Bridge{}, err
	}
	b := Bridge{ID: d.ID, Title: d.Title, Table: d.table()}
	b.scale(d.Unit, steps)
	for i, s := range steps {
		from, to := s.from, s.to
		if s.total {
			from = 0 // or the edge of the scale
		}
		bar := BridgeBar{Mark: s.Mark, Class: s.class(), Word: s.word(), First: i == 0, Others: s.others,
			X: percent(b.Scale.share(min(from, to))), From: percent(b.Scale.share(s.from))}
		bar.Width = percent(b.Scale.share(max(from, to)) - b.Scale.share(min(from, to)))
		b.Rows = append(b.Rows, bar)
		d.Desc += " " + s.words() + "."
	}
	b.Desc = d.Desc
	return b, nil
}

// level is a step of a bridge: the level it starts on and the one it leads to.
type level struct {
	Mark
	from, to      float64
	total, others bool
}

func (l level) class() string {
	switch {
	case l.total:
		return "sum"
	case l.to > l.from:
		return "up"
	}
	return "down"
}

func (l level) word() string {
	switch {
	case l.total:
		return "total"
	case l.to == l.from:
		return "unchanged"
	}
	return l.class()
}

// steps lists the levels of the drawing, those too small to be drawn joined.
func (d BridgeData) steps() ([]level, error) {
	at := d.Start.number()
	start, _ := at.Float64()
	out := []level{{Mark: d.Start, from: start, to: start, total: true}}
	drawn, rest := d.largest()
	step := func(m Mark, by decimal.Decimal, others bool) {
		from, _ := at.Float64()
		at = at.Add(by)
		to, _ := at.Float64()
		out = append(out, level{Mark: m, from: from, to: to, others: others})
	}
	for _, m := range drawn {
		step(m, m.number(), false)
	}
	if len(rest) > 0 {
		sum := decimal.Zero
		for _, m := range rest {
			sum = sum.Add(m.number())
		}
		step(Mark{Label: strconv.Itoa(len(rest)) + " others together, each in the table"}, sum, true)
	}
	end := d.End.number()
	bound := decimal.Max(end.Abs(), d.Start.number().Abs()).Mul(addsWithin)
	if at.Sub(end).Abs().GreaterThan(bound) {
		return nil, fmt.Errorf("chart %s: %s is %s, and the changes lead to %s", d.ID, d.End.Label, end, at)
	}
	last, _ := end.Float64()
	return append(out, level{Mark: d.End, from: last, to: last, total: true}), nil
}

// largest splits the changes into those that are drawn and the others, both in
// their order.
func (d BridgeData) largest() (drawn, rest []Mark) {
	if len(d.Changes) <= mostChanges {
		return d.Changes, nil
	}
	sizes := make([]decimal.Decimal, len(d.Changes))
	order := make([]int, len(d.Changes))
	for i, m := range d.Changes {
		sizes[i], order[i] = m.number().Abs(), i
	}
	slices.SortStableFunc(order, func(a, b int) int { return sizes[b].Cmp(sizes[a]) })
	keep := order[:mostChanges]
	for i, m := range d.Changes {
		if slices.Contains(keep, i) {
			drawn = append(drawn, m)
		} else {
			rest = append(rest, m)
		}
	}
	return drawn, rest
}

// scale reaches from zero over all levels. Where the changes are small beside the
// totals it begins near the levels instead, at a round number.
func (b *Bridge) scale(unit string, steps []level) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, s := range steps {
		low, high = min(low, s.from, s.to), max(high, s.from, s.to)
	}
	span := high - low
	b.Cut = span > 0 && (low > cutFrom*span || high < -cutFrom*span)
	step := roundStep(span / 4)
	switch {
	case !b.Cut:
		low, high = min(low, 0), max(high, 0)
	case low > 0:
		low = math.Floor(low/step-tiny)*step - step
	default:
		high = math.Ceil(high/step+tiny)*step + step
	}
	b.Scale = newAxis(unit, low, high)
	if !b.Cut {
		b.Zero = percent(b.Scale.share(0))
	}
}

func (d BridgeData) table() Table {
	t := Table{ID: d.ID + "-table", Caption: d.Title + ", " + d.Unit, Heads: columns("From one total to the other", d.Unit)}
	t.Rows = append(t.Rows, Row{Name: d.Start.Label, Total: true, Cells: []Mark{d.Start}})
	for _, m := range d.Changes {
		t.Rows = append(t.Rows, Row{Name: m.Label, Cells: []Mark{m}})
	}
	if d.Difference.Text != "" {
		t.Rows = append(t.Rows, Row{Name: d.Difference.Label, Total: true, Cells: []Mark{d.Difference}})
	}
	t.Rows = append(t.Rows, Row{Name: d.End.Label, Total: true, Cells: []Mark{d.End}})
	return t.folded("All changes as a table")
}
