package blank

import (
	"fmt"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/making/blank/layout"
)

// PictureError is a blank that cannot be drawn on its stock.
type PictureError struct{ Message string }

func (e *PictureError) Error() string { return e.Message }

// Layout draws one full piece of stock with the blanks of a part that has it for
// itself. How many there are and which way they lie is read off the figures that
// Build writes, at the likely dimensions.
func Layout(def *bom.Blank, stock *bom.Stock) (Picture, error) {
	if !Dimensioned(stock, def) {
		return Picture{}, &PictureError{fmt.Sprintf("the blank lacks a dimension for stock %s", stock.ID)}
	}
	t, err := newTally(def, stock)
	if err != nil {
		return Picture{}, err
	}
	r, ok := newRuler(3, t.lengths()...)
	if !ok {
		return Picture{}, &PictureError{fmt.Sprintf("the dimensions of the blank or of stock %s have too many digits for a picture", stock.ID)}
	}
	c := &canvas{ruler: r, part: ""}
	c.picture = Picture{Form: stock.Form, Length: t.likely("stock/length"), Width: t.across(stock), Pieces: 1}
	switch {
	case stock.Form.Linear():
		c.bar(t)
	case def.DiameterMM != nil:
		c.discs(t)
	default:
		c.rectangles(t)
	}
	return c.done(), nil
}

// tally is the graph of one blank alone, evaluated.
type tally struct {
	g      *graph.Graph
	values *exact.Values
	plan   plan
}

func newTally(def *bom.Blank, stock *bom.Stock) (*tally, error) {
	b := graph.NewBuilder(graph.Limits{MaxNodes: 256})
	s := b.Root()
	st := Stock{Def: stock, Width: graph.None}
	st.Length = s.Number("stock/length", "stock length", graph.Mm, stock.LengthMM, "")
	if stock.WidthMM != nil {
		st.Width = s.Number("stock/width", "stock width", graph.Mm, *stock.WidthMM, "")
	}
	t := &tally{plan: newPlan(s, def, st)}
	t.plan.perStock()
	var err error
	if t.g, err = b.Build(); err != nil {
		return nil, err
	}
	t.values, err = exact.Evaluate(t.g, nil)
	return t, err
}

// count gives a whole figure by its key, 0 if it has no value.
func (t *tally) count(key string) int64 {
	id, ok := t.g.Find(key)
	if !ok {
		return 0
	}
	v, _ := t.values.Raw(id)
	return v.IntPart()
}

// likely gives a typed dimension by its key, 0 if there is none.
func (t *tally) likely(key string) decimal.Decimal {
	id, ok := t.g.Find(key)
	if !ok {
		return decimal.Decimal{}
	}
	return t.g.Node(id).Value
}

// across is the width of a piece as one looks on it.
func (t *tally) across(stock *bom.Stock) decimal.Decimal {
	switch {
	case stock.WidthMM != nil:
		return stock.WidthMM.Likely
	case stock.DiameterMM != nil:
		return stock.DiameterMM.Likely
	default:
		return decimal.Decimal{}
	}
}

// lengths are all dimensions of a picture.
func (t *tally) lengths() []decimal.Decimal {
	var out []decimal.Decimal
	for _, key := range []string{"stock/length", "stock/width", "blank-length", "blank-width", "blank-diameter", "kerf", "trim", "grip", "margin"} {
		out = append(out, t.likely(key))
	}
	return out
}

// canvas collects the areas of a picture, in steps of its ruler.
type canvas struct {
	ruler
	picture Picture
	part    bom.ID
	cuts    []Area
	rest    []Area
}

// steps gives a dimension that the ruler was made for.
func (c *canvas) steps(d decimal.Decimal) int64 {
	n, _ := c.ruler.steps(d)
	return n
}

func (c *canvas) area(role Role, b layout.Box) Area {
	return Area{Role: role, X: c.mm(b.X), Y: c.mm(b.Y), Length: c.mm(b.Length), Width: c.mm(b.Width), Part: c.part}
}

// blank adds a blank, or counts it where the picture is full.
func (c *canvas) blank(b layout.Box, turned, round bool) {
	c.picture.Blanks++
	if c.full() {
		c.picture.Omitted++
		return
	}
	a := c.area(BlankArea, b)
	a.Turned, a.Round = turned, round
	c.picture.Areas = append(c.picture.Areas, a)
}

// cut adds a cut; without kerf it has a side of 0.
func (c *canvas) cut(b layout.Box) {
	if b.Length >= 0 && b.Width >= 0 && b.Length+b.Width > 0 && !c.full() {
		c.cuts = append(c.cuts, c.unowned(Cut, b))
	}
}

// left adds an area of any other role if there is any of it.
func (c *canvas) left(role Role, b layout.Box) {
	if b.Length > 0 && b.Width > 0 && !c.full() {
		c.rest = append(c.rest, c.unowned(role, b))
	}
}

func (c *canvas) unowned(role Role, b layout.Box) Area {
	a := c.area(role, b)
	a.Part = ""
	return a
}

func (c *canvas) full() bool { return len(c.picture.Areas)+len(c.cuts)+len(c.rest) >= maxAreas }

func (c *canvas) done() Picture {
	c.picture.Areas = append(append(c.picture.Areas, c.cuts...), c.rest...)
	return c.picture
}

// bar draws blanks one after another: trim, then blank and cut in turn, what is
// left, and the length that is held.
func (c *canvas) bar(t *tally) {
	n := t.count("per-bar")
	lengths := make([]barBlank, 0, min(n, maxAreas))
	for range min(n, maxAreas) {
		lengths = append(lengths, barBlank{c.steps(t.likely("blank-length")), ""})
	}
	c.sawn(barDims{length: c.steps(c.picture.Length), kerf: c.steps(t.likely("kerf")),
		trim: c.steps(t.likely("trim")), grip: c.steps(t.likely("grip"))}, lengths)
	c.picture.Blanks, c.picture.Omitted = int(n), c.picture.Omitted+int(n)-c.picture.Blanks
}

// barDims are the dimensions of a bar that all blanks on it share.
type barDims struct{ length, kerf, trim, grip int64 }

// barBlank is a blank on a bar with the part it is for.
type barBlank struct {
	length int64
	part   bom.ID
}

func (c *canvas) sawn(d barDims, blanks []barBlank) {
	w := c.steps(c.picture.Width)
	end := d.length - d.grip
	c.left(Trim, layout.Box{X: 0, Y: 0, Length: d.trim, Width: w})
	c.left(Grip, layout.Box{X: end, Y: 0, Length: d.grip, Width: w})
	x := d.trim
	for _, b := range blanks {
		c.part = b.part
		c.blank(layout.Box{X: x, Y: 0, Length: b.length, Width: w}, false, false)
		x += b.length
		if d.grip > 0 || x < end {
			c.cut(layout.Box{X: x, Y: 0, Length: min(d.kerf, max(end-x, 0)), Width: w})
		}
		x += d.kerf
	}
	c.left(Remnant, layout.Box{X: x, Y: 0, Length: end - x, Width: w})
}
