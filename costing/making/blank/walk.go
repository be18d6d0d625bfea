package blank

// walk goes through a layout piece by piece. The blank has the sides a and b on the
// ruler of the visitor, scale is how many of its steps one of the search has.
type walk struct {
	*mixer
	a, b, gap, scale int64
	cut              func(piece box, at int64, along bool)
	grid             func(piece box, g blankGrid)
}

// Walk visits the layout on a whole sheet, which contains a gap more than it has as in
// the search, with the blank and its gap on a ruler as fine as that of the search or
// finer. It shows each cut, along the length where along is set, and each grid.
func (m *mixer) Walk(whole box, a, b, gap int64, cut func(piece box, at int64, along bool), grid func(piece box, g blankGrid)) {
	w := walk{m, a, b, gap, (a + gap) / m.a, cut, grid}
	w.piece(whole, len(m.xs)-1, len(m.ys)-1, true)
}

// piece visits a piece, whose sides contain a gap: its cut and the two pieces that
// come of it, or its grid.
func (w walk) piece(p box, i, j int, top bool) {
	at := w.split(i, j, top)
	switch {
	case at.cut > 0:
		x := w.xs[at.cut] * w.scale
		w.cut(p, x, true)
		w.piece(box{p.x, p.y, x, p.width}, int(at.cut), j, false)
		w.piece(box{p.x + x, p.y, p.length - x, p.width}, partner(w.xs, int(at.cut), i, w.xs[i]), j, false)
	case at.cut < 0:
		y := w.ys[-at.cut] * w.scale
		w.cut(p, y, false)
		w.piece(box{p.x, p.y, p.length, y}, i, int(-at.cut), false)
		w.piece(box{p.x, p.y + y, p.length, p.width - y}, i, partner(w.ys, int(-at.cut), j, w.ys[j]), false)
	default:
		x, y := w.xs[i], w.ys[j]
		drawn := blankGrid{w.a, w.b, w.gap, x / w.mixer.a, y / w.mixer.b, false}
		across := blankGrid{w.b, w.a, w.gap, x / w.mixer.b, y / w.mixer.a, true}
		if across.columns*across.rows > drawn.columns*drawn.rows {
			drawn = across
		}
		w.grid(p, drawn)
	}
}

// split is the cut of a piece. Where the layout has one cut, its pieces are grids.
func (m *mixer) split(i, j int, top bool) split {
	switch {
	case top:
		return m.top
	case m.cells == nil || m.fromOneCut:
		return split{}
	default:
		return *m.cell(i, j)
	}
}
