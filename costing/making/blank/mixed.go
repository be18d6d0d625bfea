package blank

import (
	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/making/blank/layout"
)

// mixedPattern writes the best layout of blanks both ways round. The count comes
// from a search and holds for the dimensions it was made with; the checks are that
// the blanks have room by their area and, in best, that no grid has more.
func (p plan) mixedPattern(u, v graph.ID) pattern {
	s := p.s.In("layout", "mixed").By("S2")
	found, how := int64(0), layout.GridsOnly
	if m, _, ok := p.mixer(); ok { // with the likely dimensions
		found, how = m.Count(), m.How
	}
	count := s.Decided("count", "blanks in a mixed layout", graph.Plain, decimal.NewFromInt(found), graph.Choice{
		Solver: "sheet layout", Rule: how.Rule(), Valid: p.windows()})
	long := s.Total("blank-length", "blank length and gap", p.blankLength, p.kerf)
	wide := s.Total("blank-width", "blank width and gap", p.blankWidth, p.kerf)
	taken := s.Multiply("area-taken", "area taken by blanks and gaps", count, long, wide)
	room := s.Multiply("area-room", "usable area, a gap beyond two edges included",
		s.Total("length-room", "usable length and gap", u, p.kerf), s.Total("width-room", "usable width and gap", v, p.kerf))
	// A search cannot be written as formulas, so whoever recalculates the workbook can
	// at least see that its result is possible.
	s.Check("area-fits", "the blanks of the mixed layout have room on the sheet", taken, graph.LessOrEqual, room)
	return pattern{mixed, count}
}

// The names of the patterns of rectangles.
const (
	asDrawn = "as drawn"
	turned  = "turned"
	mixed   = "mixed"
)

// mixer lays the sheet out; it is false where the dimensions have too many digits
// for the search.
func (p plan) mixer() (*layout.Guillotine, sheetSteps, bool) {
	d, ok := p.sheetSteps()
	if !ok {
		return nil, d, false
	}
	return layout.NewGuillotine(d.u+d.gap, d.v+d.gap, d.a+d.gap, d.b+d.gap), d, true
}

// sheetSteps are the dimensions of a sheet and its rectangular blank on a ruler: what
// can be used of its sides, the sides of the blank, and the gap.
type sheetSteps struct {
	ruler
	u, v, a, b, gap int64
}

func (p plan) sheetSteps() (sheetSteps, bool) {
	ids := []graph.ID{p.length, p.width, p.margin, p.blankLength, p.blankWidth, p.kerf}
	lengths := make([]decimal.Decimal, len(ids))
	for i, id := range ids {
		lengths[i] = p.s.Likely(id)
	}
	r, ok := newRuler(0, lengths...)
	if !ok {
		return sheetSteps{}, false
	}
	n := r.all(lengths)
	d := sheetSteps{ruler: r, u: n[0] - 2*n[2], v: n[1] - 2*n[2], a: n[3], b: n[4], gap: n[5]}
	return d, d.a > 0 && d.b > 0
}
