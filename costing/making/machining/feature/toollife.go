package feature

import (
	"kerfbook/costing/graph"
)

func (t Tool) EdgePrice(money graph.Unit) graph.ID {
	return t.number("edge-cost", "cost of an edge", money, t.EdgeCost, "edge_cost")
}

func (t Tool) EdgeChange() graph.ID {
	return t.number("edge-change", "time to change an edge", graph.Minute, t.EdgeChangeMin, "edge_change_min")
}

// life is the cutting time of an edge at a speed: entered, or by Taylor
// T = (C/V)^(1/n), C the speed of an edge that lasts one minute.
func (k *Cutter) life(s graph.Scope, vc graph.ID) graph.ID {
	if k.LifeMin != nil {
		return k.number("life", "cutting time of an edge", graph.Minute, k.LifeMin, "life_min")
	}
	if k.TaylorN == nil || k.TaylorC == nil {
		return graph.None
	}
	s = s.By("M13")
	c, exponent := k.taylor()
	ratio := s.Divide("life-ratio", "speed of an edge that lasts a minute ÷ speed", c, vc)
	// T is in minutes because C is the speed of one minute: powers want plain numbers.
	minutes := s.Power("life-minutes", "cutting time of an edge, a plain number", ratio, exponent)
	return s.Multiply("edge-life", "cutting time of an edge", minutes, s.One(graph.Minute))
}

// taylor gives C and 1/n.
func (k *Cutter) taylor() (c, exponent graph.ID) {
	c = k.number("taylor-c", "speed at which an edge lasts one minute, C", graph.Metre.Per(graph.Minute), k.TaylorC, "taylor_c")
	n := k.number("taylor-n", "exponent of tool life, n", graph.Plain, k.TaylorN, "taylor_n")
	return c, k.Tool.Scope.By("M13").Divide("taylor-exponent", "1 ÷ n", k.Tool.Scope.One(graph.Plain), n)
}

// EconomicSpeeds offers the speed of least cost and that of least time; nothing is
// cut at them unless they are entered. T* = (1/n − 1)·(change + edge cost ÷ cost
// of a minute), V = C ÷ Tⁿ; for least time the edge is free. Source
// `textbook-companion`, examples 4.26 and 4.28, and source `cheapest-speed-item`.
func (k *Cutter) EconomicSpeeds(s graph.Scope, minute, edgeCost graph.ID) {
	if k.TaylorN == nil || k.TaylorC == nil || k.EdgeChangeMin == nil || s.Known("fastest-life") != graph.None {
		return
	}
	s = s.By("M13").Of(k.Name)
	c, exponent := k.taylor()
	n := k.number("taylor-n", "exponent of tool life, n", graph.Plain, k.TaylorN, "taylor_n")
	less := s.Subtract("life-factor", "1/n − 1", exponent, s.One(graph.Plain))
	at := func(name, label string, minutes graph.ID) {
		life := s.Multiply(name+"-life", "tool life of "+label, less, minutes)
		plain := s.Divide(name+"-life-minutes", "tool life of "+label+", a plain number", life, s.One(graph.Minute))
		s.Divide(name+"-speed", "speed of "+label, c, s.Power(name+"-power", "tool life of "+label+" to the power n", plain, n))
	}
	at("fastest", "least time", k.EdgeChange())
	// Without rates a minute is priced in nothing, and an edge cannot be compared.
	if minute != graph.None && edgeCost != graph.None && s.Unit(minute) == s.Unit(edgeCost).Per(graph.Minute) {
		worth := s.Divide("edge-minutes", "minutes that an edge costs", edgeCost, minute)
		at("economic", "least cost", s.Add("edge-time", "change and cost of an edge, in minutes", k.EdgeChange(), worth))
	}
}
