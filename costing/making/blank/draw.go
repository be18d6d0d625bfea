package blank

import (
	"fmt"
	"slices"

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
	if stock.Form == bom.NearNet {
		return Picture{}, &PictureError{fmt.Sprintf("each piece of stock %s is one blank, of which nothing is cut off", stock.ID)}
	}
	t, err := newTally(def, stock)
	if err != nil {
		return Picture{}, err
	}
	drawn := *def
	drawn.KeepRemnantMM = nil // what is kept is not told apart
	d, ok := newCommon([]SharedBlank{{Def: &drawn}}, stock)
	if !ok {
		return Picture{}, &PictureError{fmt.Sprintf("the dimensions of the blank or of stock %s have too many digits for a picture", stock.ID)}
	}
	c := d.canvas(1)
	if stock.Form.Linear() {
		n := t.count("per-bar")
		c.sawn(d, slices.Repeat([]barBlank{{d.blankLength[0], ""}}, int(min(n, maxAreas))))
		c.omit(n - min(n, maxAreas))
	} else {
		c.sheet(d, t)
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
	// A graph of the counts alone, built by the same code as the estimate's, so that a
	// picture cannot show another number than the price has.
	b := graph.NewBuilder(graph.Limits{MaxNodes: 256})
	s := b.Root()
	st := Stock{Def: stock}
	st.Length = s.Number("stock/length", "stock length", graph.Mm, stock.LengthMM, "")
	st.Width = s.Optional("stock/width", "stock width", graph.Mm, stock.WidthMM, "")
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

// canvas collects the areas of a picture, in steps of its ruler.
type canvas struct {
	ruler
	picture Picture
	part    bom.ID
	cuts    []Area
	rest    []Area
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

// omit counts blanks that are not drawn.
func (c *canvas) omit(blanks int64) {
	c.picture.Blanks += int(blanks)
	c.picture.Omitted += int(blanks)
}

func (c *canvas) full() bool { return len(c.picture.Areas)+len(c.cuts)+len(c.rest) >= maxAreas }

func (c *canvas) done() Picture {
	c.picture.Areas = append(append(c.picture.Areas, c.cuts...), c.rest...)
	return c.picture
}

// barBlank is a blank on a bar with the part it is for.
type barBlank struct {
	length int64
	part   bom.ID
}

// sawn draws blanks one after another: trim, then blank and cut in turn, what is
// left, and the length that is held.
func (c *canvas) sawn(d common, blanks []barBlank) {
	end := d.length - d.grip
	along := func(x, length int64) layout.Box { return layout.Box{X: x, Y: 0, Length: length, Width: d.width} }
	c.left(Trim, along(0, d.trim))
	c.left(Grip, along(end, d.grip))
	x := d.trim
	for _, b := range blanks {
		c.part = b.part
		c.blank(along(x, b.length), false, false)
		x += b.length
		// A last blank that ends the bar is not cut off (S1).
		if d.grip > 0 || x < end {
			c.cut(along(x, min(d.kerf, max(end-x, 0))))
		}
		x += d.kerf
	}
	c.left(Remnant, along(x, end-x))
}
