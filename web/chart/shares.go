package chart

import (
	"fmt"
	"math"
)

// Estimate is a number drawn with how uncertain it is: one standard error to
// either side.
type Estimate struct {
	Mark
	Error Mark
}

// InputShare is how much of the variance of a figure an input makes: alone, and
// with all it does together with others.
type InputShare struct {
	Name, Href   string
	First, Total Estimate
}

// SharesData is what a chart of variance shares is made of; shares are from 0 to
// 1, and estimates may miss that a little.
type SharesData struct {
	ID, Title, Desc string
	Inputs          []InputShare // ranked
}

// Shares shows which inputs make a figure uncertain.
type Shares struct {
	ID, Title, Desc string
	Scale           Axis
	Zero            string
	Rows            []ShareBars
	More            int
	Table           Table
}

// ShareBars are the two bars of an input.
type ShareBars struct {
	InputShare
	First, Total Whisker
}

// Whisker is a bar with its whisker.
type Whisker struct {
	Estimate
	X, Width string
	From, To string // of the whisker
	Drawn    bool
	Class    string
	Y        int // above the foot of the row, negative
}

// Middle is the height of the whisker.
func (w Whisker) Middle() int { return w.Y + shareHeight/2 }

const shareHeight = 8

// NewShares lays out a chart of variance shares.
func NewShares(d SharesData) Shares {
	low, high := 0.0, 0.01
	for _, in := range d.Inputs {
		for _, e := range []Estimate{in.First, in.Total} {
			at, spread, _ := e.places()
			low, high = min(low, at-spread), max(high, at+spread)
		}
	}
	s := Shares{ID: d.ID, Title: d.Title, Desc: d.Desc, Scale: newAxis("share of the variance, %", 100*low, 100*high), More: max(0, len(d.Inputs)-mostSwings)}
	s.Zero = percent(s.Scale.share(0))
	for _, in := range d.Inputs[:len(d.Inputs)-s.More] {
		s.Rows = append(s.Rows, ShareBars{in, s.bar(in.First, "alone", -2*shareHeight-3), s.bar(in.Total, "in-all", -shareHeight-2)})
		s.Desc += fmt.Sprintf(" %s: alone %s, in all %s.", in.Name, in.First.Text, in.Total.Text)
	}
	s.Table = s.table(d.Inputs)
	return s
}

// places gives where an estimate stands and how far its whisker reaches.
func (e Estimate) places() (at, spread float64, ok bool) {
	at, ok = e.place()
	spread, _ = e.Error.place()
	return at, math.Abs(spread), ok
}

// bar draws an estimate from zero.
func (s Shares) bar(e Estimate, class string, y int) Whisker {
	at, spread, ok := e.places()
	share := func(v float64) float64 { return s.Scale.share(100 * v) }
	from, to := share(min(0, at)), share(max(0, at))
	return Whisker{e, percent(from), percent(to - from), percent(share(at - spread)), percent(share(at + spread)), ok, class, y}
}

func (s Shares) table(inputs []InputShare) Table {
	t := Table{ID: s.ID + "-table", Caption: s.Title, Heads: columns("Input", "Alone", "Standard error", "In all", "Standard error")}
	for _, in := range inputs {
		t.Rows = append(t.Rows, Row{Name: in.Name, Href: in.Href, Cells: []Mark{in.First.Mark, in.First.Error, in.Total.Mark, in.Total.Error}})
	}
	return t.folded("All inputs as a table")
}
