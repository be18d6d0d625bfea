package layout

// walk goes through a layout piece by piece. The blank has the sides a and b on the
// ruler of the visitor, scale is how many of its steps one of the search has.
type walk struct {
	*Guillotine
	a, b, gap, scale int64
	cut              func(piece Box, at int64, along bool)
	grid             func(piece Box, g Grid)
}

// Walk visits the layout on a whole sheet, which contains a gap more than it has as in
// the search, with the blank and its gap on a ruler as fine as that of the search or
// finer. It shows each cut, along the length where along is set, and each grid.
func (m *Guillotine) Walk(whole Box, a, b, gap int64, cut func(piece Box, at int64, along bool), grid func(piece Box, g Grid)) {
	w := walk{m, a, b, gap, (a + gap) / m.a, cut, grid}
	w.piece(whole, len(m.xs)-1, len(m.ys)-1, true)
}

// piece visits a piece, whose sides contain a gap: its cut and the two pieces that
// come of it, or its grid.
func (w walk) piece(p Box, i, j int, top bool) {
	at := w.split(i, j, top)
	switch {
	case at.cut > 0:
		x := w.xs[at.cut] * w.scale
		w.cut(p, x, true)
		w.piece(Box{p.X, p.Y, x, p.Width}, int(at.cut), j, false)
		w.piece(Box{p.X + x, p.Y, p.Length - x, p.Width}, partner(w.xs, int(at.cut), i, w.xs[i]), j, false)
	case at.cut < 0:
		y := w.ys[-at.cut] * w.scale
		w.cut(p, y, false)
		w.piece(Box{p.X, p.Y, p.Length, y}, i, int(-at.cut), false)
		w.piece(Box{p.X, p.Y + y, p.Length, p.Width - y}, i, partner(w.ys, int(-at.cut), j, w.ys[j]), false)
	default:
		// By the places of the search and not by the piece drawn, which may be a little larger:
		// the picture must show just the blanks that were counted.
		x, y := w.xs[i], w.ys[j]
		drawn := Grid{w.a, w.b, w.gap, x / w.Guillotine.a, y / w.Guillotine.b, false}
		across := Grid{w.b, w.a, w.gap, x / w.Guillotine.b, y / w.Guillotine.a, true}
		if across.Columns*across.Rows > drawn.Columns*drawn.Rows {
			drawn = across
		}
		w.grid(p, drawn)
	}
}

// split is the cut of a piece. Where the layout has one cut, its pieces are grids.
func (m *Guillotine) split(i, j int, top bool) split {
	switch {
	case top:
		return m.top
	case m.cells == nil || m.fromOneCut:
		return split{}
	default:
		return *m.cell(i, j)
	}
}

// Box is a rectangle in steps.
type Box struct{ X, Y, Length, Width int64 }

// Grid is a grid of blanks of a × b.
type Grid struct {
	A, B, Gap     int64
	Columns, Rows int64
	Turned        bool
}

// Offcuts are what a grid leaves of a piece: beside its columns and above its rows.
func (g Grid) Offcuts(piece Box) []Box {
	if g.Columns == 0 || g.Rows == 0 {
		return []Box{{piece.X, piece.Y, piece.Length - g.Gap, piece.Width - g.Gap}}
	}
	// Sides of the piece contain a gap that is no metal: each offcut is shorter by it.
	x, y := g.Columns*(g.A+g.Gap), g.Rows*(g.B+g.Gap)
	return []Box{
		{piece.X + x, piece.Y, piece.Length - x - g.Gap, piece.Width - g.Gap},
		{piece.X, piece.Y + y, x - g.Gap, piece.Width - y - g.Gap},
	}
}
