package blank

import "math/big"

// rectangles draws the layout that was decided.
func (c *canvas) rectangles(t *tally) {
	name := t.layout(asDrawn)
	c.picture.Layout = name
	d := sheetSteps{length: c.steps(c.picture.Length), width: c.steps(c.picture.Width), margin: c.steps(t.likely("margin")),
		a: c.steps(t.likely("blank-length")), b: c.steps(t.likely("blank-width")), gap: c.steps(t.likely("kerf"))}
	d.u, d.v = d.length-2*d.margin, d.width-2*d.margin
	c.margins(d)
	c.picture.Layout = name
	whole := box{d.margin, d.margin, d.u + d.gap, d.v + d.gap}
	switch name {
	case asDrawn:
		c.grid(whole, blankGrid{d.a, d.b, d.gap, t.count("layout/as-drawn/along-length"), t.count("layout/as-drawn/along-width"), false})
	case turned:
		c.grid(whole, blankGrid{d.b, d.a, d.gap, t.count("layout/turned/along-length"), t.count("layout/turned/along-width"), true})
	case mixed:
		m, _, _ := t.plan.mixer()
		m.Walk(whole, d.a, d.b, d.gap, func(piece box, at int64, along bool) {
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
	c.left(Margin, box{0, 0, d.length, e})
	c.left(Margin, box{0, d.width - e, d.length, e})
	c.left(Margin, box{0, e, e, d.v})
	c.left(Margin, box{d.length - e, e, e, d.v})
}

// grid draws a grid from the corner of a piece, whose sides contain a gap, and
// what is left along two of its sides. Columns are cut off first.
func (c *canvas) grid(piece box, g blankGrid) {
	pitchX, pitchY := g.a+g.gap, g.b+g.gap
	for i := range g.columns {
		if g.rows == 0 {
			break
		}
		x := piece.x + i*pitchX
		c.cutBeside(piece, g.gap, (i+1)*pitchX)
		for j := range g.rows {
			y := piece.y + j*pitchY
			c.blank(box{x, y, g.a, g.b}, g.turned, false)
			c.cutAbove(box{x, piece.y, pitchX, piece.width}, g.gap, (j+1)*pitchY)
		}
		if c.full() {
			c.picture.Blanks += int((g.columns - i - 1) * g.rows)
			c.picture.Omitted += int((g.columns - i - 1) * g.rows)
			break
		}
	}
	for _, b := range g.offcuts(piece) {
		c.left(Remnant, b)
	}
}

// cutBeside draws the cut that ends at a distance from the left of a piece, where
// the piece goes on.
func (c *canvas) cutBeside(piece box, gap, at int64) {
	if over := piece.length - at; over > 0 {
		c.cut(box{piece.x + at - gap, piece.y, min(gap, over), piece.width - gap})
	}
}

// cutAbove draws the cut that ends at a distance from the edge nearest to the
// viewer.
func (c *canvas) cutAbove(piece box, gap, at int64) {
	if over := piece.width - at; over > 0 {
		c.cut(box{piece.x, piece.y + at - gap, piece.length - gap, min(gap, over)})
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
		g := blankGrid{a: d.a, b: d.a, gap: d.gap, columns: t.count("layout/square/along-length"), rows: t.count("layout/square/along-width")}
		for _, b := range g.offcuts(box{d.margin, d.margin, d.u + d.gap, d.v + d.gap}) {
			c.left(Remnant, b)
		}
		for j := range g.rows {
			c.row(d, g.columns, 0, j*(d.a+d.gap), false)
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
		b := box{d.margin + along + i*(d.a+d.gap), d.margin + up, d.a, d.a}
		if across {
			b.x, b.y = b.y, b.x
		}
		c.blank(b, false, true)
	}
}
