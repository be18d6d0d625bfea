package chart

import "github.com/shopspring/decimal"

// Segment is a part of a stacked bar. A rest fills the bar up to its total and
// stands for no figure.
type Segment struct {
	Mark
	Class string
	Rest  bool
}

// Pile is one bar made of segments, named in front and with its total behind.
type Pile struct {
	Total    Mark
	Segments []Segment
}

// Stack is a chart of stacked bars on one scale.
type Stack struct {
	ID          string
	Title, Desc string
	Height      int
	Piles       []PlacedPile
}

// PlacedPile is a bar with the places of its segments.
type PlacedPile struct {
	Mark
	TextY, Y int
	Parts    []PlacedSegment
}

// PlacedSegment is a segment with its place.
type PlacedSegment struct {
	Segment
	X, Width string
}

// BarHeight is how high every bar is drawn.
func (PlacedPile) BarHeight() int { return barHeight }

// NewStack lays out bars so that the longest spans the whole width.
func NewStack(id, title, desc string, piles ...Pile) Stack {
	s := Stack{ID: id, Title: title, Desc: desc, Height: rowHeight * len(piles)}
	longest := decimal.Zero
	for _, p := range piles {
		longest = decimal.Max(longest, p.Total.number())
	}
	for i, p := range piles {
		top := rowHeight * i
		s.Piles = append(s.Piles, PlacedPile{Mark: p.Total, TextY: top + textLine, Y: top + barTop, Parts: p.place(longest)})
	}
	return s
}

// place puts the segments end to end, leaving out those of no width.
func (p Pile) place(longest decimal.Decimal) []PlacedSegment {
	rest := p.Total.number()
	for _, s := range p.Segments {
		if !s.Rest {
			rest = rest.Sub(s.number())
		}
	}
	var out []PlacedSegment
	at := decimal.Zero
	for _, s := range p.Segments {
		size := s.number()
		if s.Rest {
			size = rest
		}
		if size.IsPositive() {
			out = append(out, PlacedSegment{s, share(at, longest), share(size, longest)})
			at = at.Add(size)
		}
	}
	return out
}
