package chart

import (
	"cmp"
	"math"
	"slices"
)

// Swing is how a figure moves with one input: its value with the input low and
// with the input high, all others as they are likely.
type Swing struct {
	Name, Href string // the input in words, and where it is looked at
	Low, High  End
}

// End is one end of a swing: what the input is there, and what the figure comes
// to. A figure without a value is undefined there.
type End struct {
	Input, Figure Mark
}

// TornadoData is what a tornado chart is made of: of each input its P10 and P90.
type TornadoData struct {
	ID, Title, Desc string
	Unit            string
	Likely          Mark
	Swings          []Swing
}

// Tornado shows the inputs that move a figure most, the strongest on top.
type Tornado struct {
	ID, Title, Desc string
	Scale           Axis
	Likely          Mark
	LikelyX         string
	Rows            []SwingBar
	More            int // inputs that only the table has
	Table           Table
}

// SwingBar is an input with its bar. Left and Right are the ends as they stand on
// the page.
type SwingBar struct {
	Swing
	Parts       []Part
	Left, Right Side
}

// Side is an end of a swing with the word for it.
type Side struct {
	End
	Word, Class string
}

// Part is a piece of a bar with its place.
type Part struct {
	X, Width, Class string
	Y, High         int // Y above the foot of the row, negative
}

const (
	mostSwings  = 5 // inputs that are drawn
	swingHeight = 16
)

// NewTornado lays out a tornado chart. The inputs are ranked by how far apart
// their ends are.
func NewTornado(d TornadoData) Tornado {
	likely, _ := d.Likely.place()
	ranked, low, high := d.ranked(likely)
	t := Tornado{ID: d.ID, Title: d.Title, Likely: d.Likely, Scale: newAxis(d.Unit, low, high), More: max(0, len(ranked)-mostSwings)}
	t.LikelyX = percent(t.Scale.share(likely))
	for _, s := range ranked[:len(ranked)-t.More] {
		t.Rows = append(t.Rows, t.bar(s, likely))
	}
	t.Desc, t.Table = t.describe(d.Desc), t.table(ranked, d.Unit)
	return t
}

// swingBar is a swing with the places of its ends; an undefined end stays at the
// likely figure.
type swingBar struct {
	Swing
	low, high float64
}

func (d TornadoData) ranked(likely float64) (out []swingBar, low, high float64) {
	low, high = likely, likely
	for _, s := range d.Swings {
		m := swingBar{Swing: s, low: likely, high: likely}
		for _, e := range []struct {
			end End
			at  *float64
		}{{s.Low, &m.low}, {s.High, &m.high}} {
			if v, ok := e.end.Figure.place(); ok {
				*e.at = v
			}
		}
		low, high = min(low, m.low, m.high), max(high, m.low, m.high)
		out = append(out, m)
	}
	slices.SortStableFunc(out, func(a, b swingBar) int { return cmp.Compare(b.span(), a.span()) })
	return out, low, high
}

func (m swingBar) span() float64 { return math.Abs(m.high - m.low) }

// bar draws each end from the likely figure. Ends on the same side of it share
// the height.
func (t Tornado) bar(m swingBar, likely float64) SwingBar {
	b := SwingBar{Swing: m.Swing,
		Left: Side{m.Low, "low", "low"}, Right: Side{m.High, "high", "high"}}
	if m.low > m.high {
		b.Left, b.Right = b.Right, b.Left
	}
	sameSide := (m.low-likely)*(m.high-likely) > 0
	for i, e := range []struct {
		at    float64
		class string
	}{{m.low, "low"}, {m.high, "high"}} {
		p := t.part(likely, e.at, e.class)
		if sameSide {
			p.Y, p.High = p.Y+i*swingHeight/2, swingHeight/2
		}
		if e.at != likely {
			b.Parts = append(b.Parts, p)
		}
	}
	return b
}

func (t Tornado) part(a, b float64, class string) Part {
	from, to := t.Scale.share(min(a, b)), t.Scale.share(max(a, b))
	return Part{X: percent(from), Width: percent(to - from), Class: class, Y: -swingHeight - 2, High: swingHeight}
}

func (t Tornado) describe(desc string) string {
	words := desc
	for _, r := range t.Rows {
		words += " " + r.Name + ": from " + r.Left.Figure.Text + " to " + r.Right.Figure.Text + "."
	}
	return words
}

func (t Tornado) table(ranked []swingBar, unit string) Table {
	out := Table{ID: t.ID + "-table", Caption: t.Title + ", " + unit, Heads: columns("Input", "Input low", "Figure there", "Input high", "Figure there")}
	for _, m := range ranked {
		out.Rows = append(out.Rows, Row{Name: m.Name, Href: m.Href, Cells: []Mark{m.Low.Input, m.Low.Figure, m.High.Input, m.High.Figure}})
	}
	return out.folded("All inputs as a table")
}
