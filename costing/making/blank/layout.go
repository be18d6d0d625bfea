package blank

import (
	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// plan holds the dimensions of one blank on one stock, as nodes in mm; None
// where the book gives no number.
type plan struct {
	s             graph.Scope
	form          bom.StockForm
	grain         bool
	length, width graph.ID // of the stock
	blankLength   graph.ID
	blankWidth    graph.ID
	blankDiameter graph.ID
	kerf, trim    graph.ID
	grip, margin  graph.ID
	keep          graph.ID // least size of a remnant that is kept
}

// perStock writes the number of blanks from one piece of stock, in piece.
func (p plan) perStock() graph.ID {
	var count graph.ID
	switch {
	case p.form == bom.NearNet:
		count = p.s.One(graph.Plain)
	case p.form.Linear():
		count = p.perBar()
	case p.blankDiameter != graph.None:
		count = p.best("S2", p.discPatterns())
	default:
		count = p.best("S2", p.rectanglePatterns())
	}
	s := p.s.By("S1")
	if p.form == bom.Plate || p.form == bom.Sheet {
		s = p.s.By("S2")
	}
	return s.Multiply("per-stock", "blanks per piece of stock", count, s.One(graph.Piece))
}

// perBar is S1: floor(usable length ÷ (blank + kerf)), where the last blank
// needs no cut if nothing is held.
func (p plan) perBar() graph.ID {
	s := p.s.By("S1")
	usable := p.barUsable(s)
	pitch := s.Total("pitch", "blank and kerf", p.blankLength, p.kerf)
	exact := s.Divide("per-bar-exact", "blanks per bar before rounding", usable, pitch)
	floor := s.Floor("per-bar-floor", "blanks per bar, rounded down", exact, s.One(graph.Plain))
	// A bar shorter than trim and grip yields nothing, not less: a count below
	// zero would ask for no stock and make the blanks free.
	count := s.Maximum("per-bar", "blanks per bar", floor, s.Zero(graph.Plain))
	taken := s.Multiply("bar-taken", "length taken by blanks and cuts", count, pitch)
	left := s.Subtract("bar-rest", "length left of the usable length", usable, taken)
	s.Sum("bar-remnant", "remnant of a full bar", left, p.grip)
	s.Check("bar-holds-one", "a bar yields at least one blank", count, graph.GreaterOrEqual, s.One(graph.Plain))
	return count
}

func (p plan) barUsable(s graph.Scope) graph.ID {
	usable := p.length
	usable = graph.Or(s.Subtract("bar-after-trim", "bar length after trim", usable, p.trim), usable)
	lastCut := p.kerf
	if p.grip != graph.None {
		usable = s.Subtract("bar-after-grip", "bar length after trim and grip", usable, p.grip)
		if p.kerf != graph.None {
			// Of a held bar every blank is cut off; one that is not held ends with its last
			// blank (S1). A figure decides, since the grip may be tried out at 0.
			lastCut = s.Choose("saved-cut", "cut saved on the last blank", p.grip, graph.Greater, s.Zero(graph.Mm), s.Zero(graph.Mm), p.kerf)
		}
	}
	return s.Total("bar-usable", "usable bar length", usable, lastCut)
}

// pattern is one way of laying blanks on a sheet, with its count (plain).
type pattern struct {
	name  string
	count graph.ID
}

// rectanglePatterns are the two orientations of a rectangle and the best mixture
// of both; grain forbids turning.
func (p plan) rectanglePatterns() []pattern {
	u, v := p.usable()
	patterns := []pattern{{asDrawn, p.grid("as-drawn", u, v, p.blankLength, p.blankWidth)}}
	if p.grain {
		return patterns
	}
	return append(patterns, pattern{turned, p.grid("turned", u, v, p.blankWidth, p.blankLength)}, p.mixedPattern(u, v))
}

// usable gives the two sides of the sheet less its margins.
func (p plan) usable() (u, v graph.ID) {
	if p.margin == graph.None {
		return p.length, p.width
	}
	s := p.s.By("S2")
	// A margin needs no cut of its own (S2).
	both := s.Add("margins", "both margins", p.margin, p.margin)
	return s.Subtract("usable-length", "usable length", p.length, both), s.Subtract("usable-width", "usable width", p.width, both)
}

func (p plan) grid(name string, u, v, a, b graph.ID) graph.ID {
	s := p.s.In("layout", name).By("S2")
	rows := p.along(s, "along-length", "blanks along the length", u, a)
	columns := p.along(s, "along-width", "blanks along the width", v, b)
	return s.Multiply("count", "blanks in a grid, "+name, rows, columns)
}

// along is how many times a side fits: floor((side + gap) ÷ (blank + gap)), not
// below zero. The last blank needs no gap behind it, so the side counts as one gap
// longer.
func (p plan) along(s graph.Scope, name, label string, side, blank graph.ID) graph.ID {
	reach := s.Total(name+"-reach", label+": side and gap", side, p.kerf)
	pitch := s.Total(name+"-pitch", label+": blank and gap", blank, p.kerf)
	exact := s.Divide(name+"-exact", label+" before rounding", reach, pitch)
	floor := s.Floor(name+"-floor", label+", rounded down", exact, s.One(graph.Plain))
	return s.Maximum(name, label, floor, s.Zero(graph.Plain))
}

// The names of the patterns of discs.
const (
	squareRows = "square rows"
	hexLength  = "hexagonal rows along the length"
	hexWidth   = "hexagonal rows along the width"
)

// discPatterns are square rows, and hexagonal rows both ways round.
func (p plan) discPatterns() []pattern {
	u, v := p.usable()
	return []pattern{
		{squareRows, p.grid("square", u, v, p.blankDiameter, p.blankDiameter)},
		{hexLength, p.hexagonal("hexagonal-length", u, v)},
		{hexWidth, p.hexagonal("hexagonal-width", v, u)},
	}
}

// hexagonal counts discs in rows along u, every second row shifted by half a
// pitch; the first row is a longer one.
func (p plan) hexagonal(name string, u, v graph.ID) graph.ID {
	s := p.s.In("layout", name).By("S2")
	one, zero, d := s.One(graph.Plain), s.Zero(graph.Plain), p.blankDiameter
	pitch := s.Total("pitch", "disc and gap", d, p.kerf)
	long := p.along(s, "long-row", "discs in a long row", u, d)

	taken := s.Multiply("long-row-taken", "length of a long row with its last gap", long, pitch)
	half := s.Multiply("half-pitch", "half a pitch", pitch, s.Half())
	shifted := s.Add("shifted-row-taken", "length of a long row, shifted", taken, half)
	reach := s.Total("reach", "length and gap", u, p.kerf)
	shorter := s.Subtract("short-row-less", "one less than a long row", long, one)
	// Where half a pitch is left at the end, a shifted row loses no disc.
	short := s.Choose("short-row", "discs in a shifted row", reach, graph.GreaterOrEqual, shifted, long, shorter)

	root := s.SquareRoot("root-of-three", "√3", s.Three())
	height := s.Multiply("row-height", "distance between rows", half, root)
	spare := s.Subtract("spare", "width beyond the first row", v, d)
	exact := s.Divide("rows-exact", "further rows before rounding", spare, height)
	// Rounded down below zero where not even one row has room: with the first that is none.
	further := s.Floor("rows-further", "further rows", exact, one)
	rows := s.Maximum("rows", "rows", s.Add("rows-all", "first and further rows", further, one), zero)

	pairs := s.Multiply("row-pairs", "rows, in pairs", rows, s.Half())
	// Of an odd number of rows one more is long, since the first is.
	longRows := s.Ceiling("long-rows", "long rows", pairs, one)
	shortRows := s.Floor("short-rows", "shifted rows", pairs, one)
	count := s.SumProducts("count-all", "discs", longRows, long, shortRows, short)
	return s.Maximum("count", "discs in "+name, count, zero)
}

// best decides on the pattern with the most blanks, the first on ties. The
// decision holds for the dimensions it was made with; checks prove that it is
// still the best.
func (p plan) best(formula string, patterns []pattern) graph.ID {
	s := p.s.By(formula)
	if len(patterns) == 1 {
		return patterns[0].count
	}
	counts, names := make([]graph.ID, len(patterns)), make([]string, len(patterns))
	for i, pt := range patterns {
		counts[i], names[i] = pt.count, pt.name
	}
	// A decision and no Least: the counts contain that of a search, which holds for these
	// sizes only.
	choice, ok := p.decide(counts)
	if !ok {
		return graph.None
	}
	pick := s.Decided("layout", "layout of the blanks", graph.Plain, choice, graph.Choice{
		Solver: "sheet layout", Rule: "most blanks from one sheet; the first on ties", Options: names, Valid: p.windows()})
	count := s.At("layout-count", "blanks in the layout chosen", pick, counts...)
	most := s.Maximum("layout-most", "most blanks of any layout", counts...)
	s.Check("layout-best", "the layout chosen still yields the most blanks", count, graph.GreaterOrEqual, most)
	s.Check("layout-holds-one", "a sheet yields at least one blank", count, graph.GreaterOrEqual, s.One(graph.Plain))
	return count
}

// windows are the dimensions a layout of sheets holds for, and some more of them.
func (p plan) windows(more ...graph.ID) []graph.Window {
	var out []graph.Window
	for _, id := range append([]graph.ID{p.length, p.width, p.blankLength, p.blankWidth, p.blankDiameter, p.kerf, p.margin}, more...) {
		if id != graph.None {
			v := p.s.Likely(id)
			out = append(out, graph.Window{Input: id, Low: v, High: v})
		}
	}
	return out
}

// decide gives the index of the largest count, from 1.
func (p plan) decide(counts []graph.ID) (decimal.Decimal, bool) {
	w, ok := workOut(p.s, counts...)
	if !ok {
		return decimal.Decimal{}, false
	}
	best, most := 0, decimal.Decimal{}
	for i := range counts {
		if v, ok := w.figure(i); ok && v.GreaterThan(most) {
			best, most = i, v
		}
	}
	return decimal.NewFromInt(int64(best + 1)), true
}

// workedOut are figures of the graph built so far.
type workedOut struct {
	g      *graph.Graph // what they rest on
	ids    []graph.ID
	values *exact.Values
}

// workOut evaluates figures while the graph is being built; it is false where one
// of them has a fault. The solver so prices its candidates by the very nodes that
// the estimate will use.
func workOut(s graph.Scope, ids ...graph.ID) (workedOut, bool) {
	g, in, ok := s.Extract(ids...)
	if !ok {
		return workedOut{}, false
	}
	values, err := exact.Evaluate(g, nil)
	return workedOut{g, in, values}, err == nil
}

// figure is the value of the i-th figure, if it has one.
func (w workedOut) figure(i int) (decimal.Decimal, bool) { return w.values.Raw(w.ids[i]) }
