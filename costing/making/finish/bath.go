package finish

import (
	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
	"kerfbook/costing/reference"
)

// bath writes, for information, how long a load stays in the bath and what
// current it draws: thickness ÷ growth rate, the 720 rule for anodising in
// sulphuric acid, or Faraday's law for a metal in a bath whose current is known, which
// is that of a shop with its own.
func (t treatment) bath(s graph.Scope, p Process) {
	if t.thickness == graph.None {
		return
	}
	switch {
	case p.def.Finish == rates.Anodising && p.current != graph.None:
		t.rule720(s, p.current)
	case p.charge != graph.None && t.coating.density != graph.None && t.coating.rate == graph.None:
		t.faraday(s.By("F3"), p)
	case t.coating.rate != graph.None:
		s.Divide("bath-time", "time in the bath", t.thickness, t.coating.rate)
	}
	t.draw(s, p.current)
}

// ownBath writes what a metal asks of a bath: the charge that deposits a gram, and the
// share of it that does. F is exact by the SI of 2019: 96 485.33212 A·s to eight places.
func (p *Process) ownBath(s graph.Scope) {
	p.charge, p.efficiency = graph.None, graph.None
	metal, known := p.finishes.CoatingOf(p.def.Finish)
	bath, bathed := p.finishes.BathOf(p.def.Finish)
	if p.current == graph.None || !known || !bathed || metal.Value.PerFaradayG == nil {
		return
	}
	per := s.From(source(metal.Provenance)).Number("per-faraday", "mass that a faraday deposits", graph.Gram, *metal.Value.PerFaradayG, "")
	one := s.Fixed("faraday", "one faraday", graph.Ampere.Times(graph.Second), decimal.New(9648533212, -5), "exact by the SI since 2019, to five places")
	p.charge = s.By("F3").Divide("charge-per-gram", "charge that deposits a gram", one, per)
	if p.def.Efficiency != nil {
		p.efficiency = s.Number("efficiency", "efficiency of the bath", graph.Plain, *p.def.Efficiency, "efficiency")
		return
	}
	p.efficiency = s.From(source(bath.Provenance)).Number("efficiency", "efficiency of the bath", graph.Plain, bath.Value.Efficiency, "")
}

// faraday is the time in the bath by Faraday's law (F3): thickness × density × charge
// per gram ÷ (current density × efficiency). Line time, such as cleaning and rinsing,
// is not in it. Source `deposit-rates`.
func (t treatment) faraday(s graph.Scope, p Process) {
	thickness := s.Convert("thickness-mm", "thickness in mm", t.thickness, graph.Micron, graph.Mm)
	current := s.Convert("current-mm", "current density by mm²", s.Multiply("current-used", "current that deposits", p.current, p.efficiency), graph.Dm, graph.Mm)
	charge := s.Multiply("charge", "charge per area", thickness, t.coating.density, p.charge)
	s.Convert("bath-time", "time in the bath", s.Divide("bath-seconds", "time in the bath in seconds", charge, current), graph.Second, graph.Minute)
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
	piece := s.Multiply("current-piece", "current of a piece", t.area, current)
	s.Multiply("current-load", "current of a load", piece, t.perLoad)
}
