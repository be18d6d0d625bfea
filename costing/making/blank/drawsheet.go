package blank

import "math/big"
import (
	"kerfbook/costing/making/blank/layout"
)

// rectangles draws the layout that was decided.
func (c *canvas) rectangles(t *tally) {
	name := t.layout(asDrawn)
	c.picture.Layout = name
	d := sheetSteps{length: c.steps(c.picture.Length), width: c.steps(c.picture.Width), margin: c.steps(t.likely("margin")),
		a: c.steps(t.likely("blank-length")), b: c.steps(t.likely("blank-width")), gap: c.steps(t.likely("kerf"))}
	d.u, d.v = d.length-2*d.margin, d.width-2*d.margin
	c.margins(d)
	c.picture.Layout = name
	whole := layout.Box{X: d.margin, Y: d.margin, Length: d.u + d.gap, Width: d.v + d.gap}
	switch name {
	case asDrawn:
		c.grid(whole, layout.Grid{A: d.a, B: d.b, Gap: d.gap, Columns: t.count("layout/as-drawn/along-length"), Rows: t.count("layout/as-drawn/along-width"), Turned: false})
	case turned:
		c.grid(whole, layout.Grid{A: d.b, B: d.a, Gap: d.gap, Columns: t.count("layout/turned/along-length"), Rows: t.count("layout/turned/along-width"), Turned: true})
	case mixed:
		m, _, _ := t.plan.mixer()
		m.Walk(whole, d.a, d.b, d.gap, func(piece layout.Box, at int64, along bool) {
			if along {
				c.cutBeside(piece, d.gap, at)
			} else {
				c.cutAbove(piece, d.gap, at)
			}
		}, c.grid)
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
func (c *canvas) margins(d sheetSteps) {
	e := d.margin
	c.left(Margin, layout.Box{X: 0, Y: 0, Length: d.length, Width: e})
	c.left(Margin, layout.Box{X: 0, Y: d.width - e, Length: d.length, Width: e})
	c.left(Margin, layout.Box{X: 0, Y: e, Length: e, Width: d.v})
	c.left(Margin, layout.Box{X: d.length - e, Y: e, Length: e, Width: d.v})
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
			c.picture.Blanks += int((g.Columns - i - 1) * g.Rows)
			c.picture.Omitted += int((g.Columns - i - 1) * g.Rows)
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

// discs draws the rows that were decided.
func (c *canvas) discs(t *tally) {
	name := t.layout(squareRows)
	d := sheetSteps{length: c.steps(c.picture.Length), width: c.steps(c.picture.Width), margin: c.steps(t.likely("margin")),
		a: c.steps(t.likely("blank-diameter")), gap: c.steps(t.likely("kerf"))}
	d.u, d.v = d.length-2*d.margin, d.width-2*d.margin
	c.picture.Layout = name
	c.margins(d)
	switch name {
	case squareRows:
		g := layout.Grid{A: d.a, B: d.a, Gap: d.gap, Columns: t.count("layout/square/along-length"), Rows: t.count("layout/square/along-width")}
		for _, b := range g.Offcuts(layout.Box{X: d.margin, Y: d.margin, Length: d.u + d.gap, Width: d.v + d.gap}) {
			c.left(Remnant, b)
		}
		for j := range g.Rows {
			c.row(d, g.Columns, 0, j*(d.a+d.gap), false)
		}
	case hexLength:
		c.hexagonal(t, "layout/hexagonal-length/", d, false)
	case hexWidth:
		c.hexagonal(t, "layout/hexagonal-width/", d, true)
	}
}

func (c *canvas) hexagonal(t *tally, key string, d sheetSteps, across bool) {
	pitch := d.a + d.gap
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
func (c *canvas) row(d sheetSteps, n, along, up int64, across bool) {
	for i := range n {
		if c.full() {
			c.picture.Blanks += int(n - i)
			c.picture.Omitted += int(n - i)
			return
		}
		b := layout.Box{X: d.margin + along + i*(d.a+d.gap), Y: d.margin + up, Length: d.a, Width: d.a}
		if across {
			b.X, b.Y = b.Y, b.X
		}
		c.blank(b, false, true)
	}
}
