package blank

import (
	"math/big"

	"kerfbook/costing/making/blank/layout"
)

// sheet draws the layout that was decided.
func (c *canvas) sheet(d common, t *tally) {
	a, b, only := d.blankLength[0], d.blankWidth[0], asDrawn
	if d.diameter[0] > 0 {
		a, b, only = d.diameter[0], d.diameter[0], squareRows
	}
	usable := layout.Box{X: d.margin, Y: d.margin, Length: d.length - 2*d.margin + d.kerf, Width: d.width - 2*d.margin + d.kerf}
	grid := func(name string, a, b int64, turned bool) layout.Grid {
		return layout.Grid{A: a, B: b, Gap: d.kerf, Columns: t.count("layout/" + name + "/along-length"), Rows: t.count("layout/" + name + "/along-width"), Turned: turned}
	}
	c.margins(d)
	c.picture.Layout = t.layout(only)
	switch c.picture.Layout {
	case asDrawn:
		c.grid(usable, grid("as-drawn", a, b, false))
	case turned:
		c.grid(usable, grid("turned", b, a, true))
	case mixed:
		m, _, _ := t.plan.mixer()
		m.Walk(usable, a, b, d.kerf, func(piece layout.Box, at int64, along bool) {
			if along {
				c.cutBeside(piece, d.kerf, at)
			} else {
				c.cutAbove(piece, d.kerf, at)
			}
		}, c.grid)
	case squareRows:
		g := grid("square", a, a, false)
		for _, b := range g.Offcuts(usable) {
			c.left(Remnant, b)
		}
		for j := range g.Rows {
			c.row(d, g.Columns, 0, j*(a+d.kerf), false)
		}
	case hexLength:
		c.hexagonal(t, "layout/hexagonal-length/", d, false)
	case hexWidth:
		c.hexagonal(t, "layout/hexagonal-width/", d, true)
	}
}

// layout is the name of the layout decided, or the only one.
func (t *tally) layout(only string) string {
	id, ok := t.g.Find("layout")
	if !ok {
		return only
	}
	v, _ := t.values.Raw(id)
	options := t.g.Node(id).Decision.Options
	if i := v.IntPart(); i >= 1 && int(i) <= len(options) {
		return options[i-1]
	}
	return only
}

// margins draws the free edges of a sheet.
func (c *canvas) margins(d common) {
	e, across := d.margin, d.width-2*d.margin
	c.left(Margin, layout.Box{X: 0, Y: 0, Length: d.length, Width: e})
	c.left(Margin, layout.Box{X: 0, Y: d.width - e, Length: d.length, Width: e})
	c.left(Margin, layout.Box{X: 0, Y: e, Length: e, Width: across})
	c.left(Margin, layout.Box{X: d.length - e, Y: e, Length: e, Width: across})
}

// grid draws a grid from the corner of a piece, whose sides contain a gap, and
// what is left along two of its sides. Columns are cut off first.
func (c *canvas) grid(piece layout.Box, g layout.Grid) {
	pitchX, pitchY := g.A+g.Gap, g.B+g.Gap
	for i := range g.Columns {
		if g.Rows == 0 {
			break
		}
		x := piece.X + i*pitchX
		c.cutBeside(piece, g.Gap, (i+1)*pitchX)
		for j := range g.Rows {
			y := piece.Y + j*pitchY
			c.blank(layout.Box{X: x, Y: y, Length: g.A, Width: g.B}, g.Turned, false)
			c.cutAbove(layout.Box{X: x, Y: piece.Y, Length: pitchX, Width: piece.Width}, g.Gap, (j+1)*pitchY)
		}
		if c.full() {
			c.omit((g.Columns - i - 1) * g.Rows)
			break
		}
	}
	for _, b := range g.Offcuts(piece) {
		c.left(Remnant, b)
	}
}

// cutBeside draws the cut that ends at a distance from the left of a piece, where
// the piece goes on.
func (c *canvas) cutBeside(piece layout.Box, gap, at int64) {
	if over := piece.Length - at; over > 0 {
		c.cut(layout.Box{X: piece.X + at - gap, Y: piece.Y, Length: min(gap, over), Width: piece.Width - gap})
	}
}

// cutAbove draws the cut that ends at a distance from the edge nearest to the
// viewer.
func (c *canvas) cutAbove(piece layout.Box, gap, at int64) {
	if over := piece.Width - at; over > 0 {
		c.cut(layout.Box{X: piece.X, Y: piece.Y + at - gap, Length: piece.Length - gap, Width: min(gap, over)})
	}
}

func (c *canvas) hexagonal(t *tally, key string, d common, across bool) {
	pitch := d.diameter[0] + d.kerf
	for row := range t.count(key + "rows") {
		n, along := t.count(key+"long-row"), int64(0)
		if row%2 == 1 {
			n, along = t.count(key+"short-row"), pitch/2
		}
		c.row(d, n, along, climb(row, pitch), across)
	}
}

// climb is row × pitch × √3/2, rounded down to a step.
func climb(row, pitch int64) int64 {
	n := new(big.Int).Mul(big.NewInt(row), big.NewInt(pitch))
	n.Mul(n, n).Mul(n, big.NewInt(3)).Quo(n, big.NewInt(4))
	return n.Sqrt(n).Int64()
}

// row draws n discs from a start along the length, or across it.
func (c *canvas) row(d common, n, along, up int64, across bool) {
	size := d.diameter[0]
	for i := range n {
		if c.full() {
			c.omit(n - i)
			return
		}
		b := layout.Box{X: d.margin + along + i*(size+d.kerf), Y: d.margin + up, Length: size, Width: size}
		if across {
			b.X, b.Y = b.Y, b.X
		}
		c.blank(b, false, true)
	}
}
