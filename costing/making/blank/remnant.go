package blank

import (
	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/making/blank/layout"
	"kerfbook/costing/making/purchase"
)

// remnants is what the blanks used leave as remnants worth keeping, in pieces of
// stock: each blank used has its share of the remnant of a full piece, as each
// leftover blank has it at its price (S3). None where remnants are not kept.
func (p plan) remnants(stockUsed graph.ID) graph.ID {
	if p.keep == graph.None || p.form == bom.NearNet {
		return graph.None
	}
	s := p.s.In("remnant").By("S3")
	kept, whole := graph.None, p.length
	if p.form.Linear() {
		kept = p.barRemnant(s)
	} else {
		kept = p.sheetRemnant(s)
		whole = p.s.Known("stock-area")
	}
	share := s.Divide("share", "share of a piece of stock that is kept as remnant", kept, whole)
	return s.Multiply("pieces", "remnants kept, in pieces of stock", stockUsed, share)
}

// barRemnant is the length left of a full bar once the last blank is cut off, what
// is held included, if it is long enough to keep.
func (p plan) barRemnant(s graph.Scope) graph.ID {
	from := p.length
	if p.trim != graph.None {
		from = p.s.Known("bar-after-trim")
	}
	rest := s.Subtract("length", "remnant of a full bar, cut off", from, p.s.Known("bar-taken"))
	return s.Choose("kept-length", "length of remnant kept", rest, graph.GreaterOrEqual, p.keep, rest, s.Zero(graph.Mm))
}

// sheetRemnant is the area of the offcuts of a full sheet whose sides are both
// long enough to keep.
func (p plan) sheetRemnant(s graph.Scope) graph.ID {
	u, v := p.usable()
	zero := s.Zero(graph.Mm.Power(2))
	if p.blankDiameter != graph.None {
		// What lies between hexagonal rows is no rectangle and never kept.
		square := p.gridRemnant("square", u, v, p.blankDiameter, p.blankDiameter)
		return s.At("kept-area", "area of offcuts kept", p.s.Known("layout"), square, zero, zero)
	}
	drawn := p.gridRemnant("as-drawn", u, v, p.blankLength, p.blankWidth)
	if p.grain {
		return drawn
	}
	return s.At("kept-area", "area of offcuts kept", p.s.Known("layout"), drawn,
		p.gridRemnant("turned", u, v, p.blankWidth, p.blankLength), p.mixedRemnant())
}

// gridRemnant is the strip beside the columns of a grid and the strip above its
// rows. The one beside the columns is cut off first.
func (p plan) gridRemnant(name string, u, v, a, b graph.ID) graph.ID {
	grid := p.s.In("layout", name)
	s := grid.In("remnant").By("S3")
	taken := func(side, label string, blank graph.ID) graph.ID {
		pitch := s.Total(side+"-pitch", "blank and gap along the "+side, blank, p.kerf)
		return s.Multiply(side+"-taken", label, grid.Known("along-"+side), pitch)
	}
	takenX, takenY := taken("length", "length taken by blanks and gaps", a), taken("width", "width taken by blanks and gaps", b)
	beside := s.Subtract("beside", "length left beside the columns", u, takenX)
	above := s.Subtract("above", "width left above the rows", v, takenY)
	// Cut off second, the strip above is as long as the columns, without the gap that
	// went with the cut beside them.
	long := takenX
	long = graph.Or(s.Subtract("columns", "length of the columns", takenX, p.kerf), long)
	zero := s.Zero(graph.Mm)
	strip := func(key, label string, side, other graph.ID) graph.ID {
		// Both sides have to be long enough: a long splinter is scrap.
		least := s.Minimum(key+"-least", "lesser side of the offcut "+label, side, other)
		return s.Choose(key+"-kept", "width of the offcut "+label+", if kept", least, graph.GreaterOrEqual, p.keep, side, zero)
	}
	return s.SumProducts("kept", "area of offcuts kept", strip("beside", "beside the columns", beside, v), v, strip("above", "above the rows", above, long), long)
}

// mixedRemnant is the area of the offcuts of the mixed layout, found with it.
func (p plan) mixedRemnant() graph.ID {
	s := p.s.In("layout", "mixed").By("S3")
	keep := p.s.Likely(p.keep)
	area := decimal.Decimal{}
	// Found at likely sizes and held for those (windows), as its count is.
	if m, d, ok := p.mixer(); ok && m.Count() > 0 {
		area = d.offcuts(m, keep)
	}
	return s.Decided("remnant-kept", "area of offcuts of a mixed layout that are kept", graph.Mm.Power(2), area, graph.Choice{
		Solver: "sheet layout", Rule: "pieces left whose sides are both long enough", Valid: p.windows(p.keep)})
}

// offcuts is the area of the pieces left whose sides are both at least keep, in
// mm².
func (d sheetSteps) offcuts(m *layout.Guillotine, keep decimal.Decimal) decimal.Decimal {
	var steps int64
	m.Walk(layout.Box{X: 0, Y: 0, Length: d.u + d.gap, Width: d.v + d.gap}, d.a, d.b, d.gap, func(layout.Box, int64, bool) {}, func(piece layout.Box, g layout.Grid) {
		for _, b := range g.Offcuts(piece) {
			if !d.mm(min(b.Length, b.Width)).LessThan(keep) {
				steps += b.Length * b.Width
			}
		}
	})
	return decimal.New(steps, -2*d.places)
}

// remnantCredit takes off what remnants are worth at the price paid.
func remnantCredit(s graph.Scope, order purchase.Order, charged, remnants, value graph.ID) graph.ID {
	if remnants == graph.None {
		return charged
	}
	at := s.In("remnant")
	// At the price paid, as leftover blanks, so that a remnant is never worth more than
	// what it is a part of.
	price := purchase.PricePaid(at, remnants, order.Cost, order.Bought)
	credit := at.Multiply("credit", "credit for remnants", remnants, price, value)
	return at.Subtract("charged", "cost charged after leftover and remnants", charged, credit)
}
