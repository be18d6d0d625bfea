package finish

import (
	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
	"kerfbook/costing/reference"
)

// bath writes, for information, how long a load stays in the bath and what
// current it draws: thickness ÷ growth rate, or the 720 rule for anodising in
// sulphuric acid.
func (t treatment) bath(s graph.Scope, p Process) {
	if t.thickness == graph.None {
		return
	}
	switch {
	case p.def.Finish == rates.Anodising && p.current != graph.None:
		t.rule720(s, p.current)
	case t.coating.rate != graph.None:
		s.Divide("bath-time", "time in the bath", t.thickness, t.coating.rate)
	}
	if p.current != graph.None {
		t.draw(s, p.current)
	}
}

// rule720 is the time in the bath by the 720 rule: 720 A·min per square foot and
// mil of film, which is 3.05119 A·min per dm² and µm. It holds for conventional
// anodising in sulphuric acid at steady conditions only. Source `rule-720`. Entered
// in the units it is published in, so that no converted constant has to be
// believed.
func (t treatment) rule720(s graph.Scope, current graph.ID) {
	cite := reference.Cite("`rule-720`")
	charge := s.Fixed("rule-720", "720 rule: charge per square foot and mil", graph.Ampere.Times(graph.Minute), decimal.New(720, 0), cite)
	foot := s.Fixed("square-foot", "one square foot", graph.Dm.Power(2), decimal.New(9290304, -6), "exact by definition of the inch (1959)")
	mil := s.Fixed("mil", "one mil", graph.Micron, decimal.New(254, -1), "exact by definition of the inch (1959)")
	per := s.Divide("charge-per-thickness", "charge per area and thickness", charge, s.Multiply("foot-mil", "a mil on a square foot", foot, mil))
	s.Divide("bath-time", "time in the bath", s.Multiply("charge", "charge per area", per, t.thickness), current)
}

// draw is the current of a piece, and that of a load where its size is known.
func (t treatment) draw(s graph.Scope, current graph.ID) {
	if t.area == graph.None {
		return
	}
	piece := s.Multiply("current-piece", "current of a piece", t.area, current)
	if t.perLoad != graph.None {
		s.Multiply("current-load", "current of a load", piece, t.perLoad)
	}
}
