package check

import (
	"kerfbook/bom"
	"kerfbook/costing/text"
)

// work checks what operations say of area, of characteristics measured and of
// learning.
func (c *checker) work() {
	for i := range c.book.Parts {
		p := &c.book.Parts[i]
		path := text.Index("parts", i)
		c.finished(path+".finished", p.Finished)
		c.roomy(path, p)
		c.workOf(path+".routing", p.Routing, c.hasSurface(p, 0), p.MassG != nil)
	}
	for i := range c.book.Products {
		c.workOf(text.Index("products", i)+".routing", c.book.Products[i].Routing, false, false)
	}
}

func (c *checker) workOf(path string, routing []bom.Operation, surface, mass bool) {
	for i := range routing {
		o, at := &routing[i], text.Index(path, i)
		c.byArea(at, o, surface)
		c.measured(at, o)
		if o.Learning != nil {
			c.learning(at, o)
		}
		if o.Treatment != nil {
			c.treatment(at+".treatment", o.Treatment, surface, mass)
		}
	}
}

// byArea wants an area, entered or computed, where time is given by area.
func (c *checker) byArea(path string, o *bom.Operation, surface bool) {
	switch {
	case o.MinPerDM2 == nil && o.AreaDM2 == nil:
	case o.Kind == bom.Outside:
		c.fail(path, "an outside operation has no time of its own; give the area in its treatment")
	case o.MinPerDM2 == nil:
		c.fail(path+".area_dm2", "has no use without min_per_dm2; delete it")
	case o.PieceMin != nil:
		c.fail(path+".piece_min", "is given whole, and min_per_dm2 adds to it; keep one or the other")
	case o.AreaDM2 == nil && !surface:
		c.gap(path, "operation %d works by area: give area_dm2, since %s", o.Number, noSurface)
	}
}

const noSurface = "a surface is computed only for a made part, for an assembly of one piece of one, or from finished dimensions"

// hasSurface reports whether the surface of a part can be computed; depth keeps a
// part that contains itself from being followed for ever.
func (c *checker) hasSurface(p *bom.Part, depth int) bool {
	switch {
	case p.Finished != nil || p.Kind == bom.Made:
		return true
	case p.Kind != bom.Assembly || len(p.Children) != 1 || depth > bom.MaxLevels:
		return false
	}
	child := p.Children[0]
	at, known := c.known["parts"][child.Part]
	return known && !child.Quantity.IsRange && child.Quantity.Likely.String() == "1" && c.hasSurface(&c.book.Parts[at], depth+1)
}

// finished wants the dimensions of one shape.
func (c *checker) finished(path string, f *bom.Envelope) {
	if f == nil {
		return
	}
	length := dimension{"length_mm", f.LengthMM}
	width, thickness := dimension{"width_mm", f.WidthMM}, dimension{"thickness_mm", f.ThicknessMM}
	if f.DiameterMM == nil {
		c.refuse(path, "a box", dimension{"inner_diameter_mm", f.InnerDiameterMM})
		c.need(path, "a finished part", length, width, thickness)
		return
	}
	c.refuse(path, "a round part", width, thickness)
	c.need(path, "a round part", length)
	if f.InnerDiameterMM != nil && !less(f.InnerDiameterMM, f.DiameterMM) {
		c.fail(path+".inner_diameter_mm", "the inner diameter %s is not less than the outer %s", f.InnerDiameterMM.Likely, f.DiameterMM.Likely)
	}
}

// measured checks the characteristics of an inspection.
func (c *checker) measured(path string, o *bom.Operation) {
	if len(o.Characteristics) == 0 {
		return
	}
	if o.Kind != bom.Inspection {
		c.fail(path+".characteristics", "only an inspection measures characteristics; make the kind inspection")
	}
	for _, d := range []dimension{{"piece_min", o.PieceMin}, {"cutting_min", o.CuttingMin}, {"positioning_min", o.PositioningMin},
		{"worn_edge_min", o.WornEdgeMin}, {"handling_min", o.HandlingMin}, {"min_per_dm2", o.MinPerDM2}, {"sampled_share", o.SampledShare}} {
		if d.value != nil {
			c.fail(text.Field(path, d.field), "is given beside characteristics, which have their own times and shares; keep one or the other")
		}
	}
	distinct(c, path+".characteristics", o.Characteristics, func(x bom.Characteristic) string { return x.Name })
}

// learning checks that there is a time that can fall, and what it is a time of.
func (c *checker) learning(path string, o *bom.Operation) {
	l := o.Learning
	at := path + ".learning"
	timed := o.PieceMin != nil || o.CuttingMin != nil || o.PositioningMin != nil || o.WornEdgeMin != nil || o.HandlingMin != nil ||
		o.MinPerDM2 != nil || len(o.Features) > 0 || len(o.Characteristics) > 0
	switch {
	case o.Kind == bom.Outside:
		c.fail(at, "an outside operation has no time of its own that could fall; delete it")
	case !timed:
		c.fail(at, "operation %d has no time per piece that could fall with practice", o.Number)
	}
	if l.AverageAt != nil && l.UnitAt != nil {
		c.fail(at+".unit_at", "the time is either the average of the first units or that of one unit; keep average_at or unit_at")
	}
	first := l.AverageAt == nil && l.UnitAt == nil && o.SampledShare == nil
	if first && l.FloorMin != nil && o.PieceMin != nil && o.PieceMin.Likely.LessThan(l.FloorMin.Likely) {
		c.fail(at+".floor_min", "%s is above the time of the first unit, %s; nothing could be learnt", l.FloorMin.Likely, o.PieceMin.Likely)
	}
}
