package estimate

import (
	"kerfbook/costing/graph"
	"kerfbook/costing/making/finish"
)

// outside is the cost of the lot of an outside process. A process that charges by
// area wants the area entered, or a part whose surface can be computed.
func (a *assembly) outside(m *made, at int) graph.ID {
	st := m.flow.Steps[at]
	def := st.Operation.Treatment
	place := m.place + "." + index("routing", at) + ".treatment"
	lacks := func(what, path string) graph.ID {
		return st.Scope.From(graph.Source{Path: path}).Missing("lot", "cost of the lot", a.money, what)
	}
	if def == nil {
		return lacks("treatment of "+st.Scope.Record(), place)
	}
	p, ok := a.process(def.Process)
	if !ok {
		return lacks("outside process "+string(def.Process), "outside_processes")
	}
	surface := graph.None
	if def.AreaDM2 == nil && m.part != nil {
		surface = a.surfaceAt(m.part, m.flow, at)
	}
	if def.AreaDM2 == nil && surface == graph.None && (p.Area != graph.None || p.AreaMicron != graph.None) {
		return lacks("area of "+st.Scope.Record(), place+".area_dm2")
	}
	lot, err := finish.Build(st.Scope, def, p, surface, st.UnitsIn)
	if err != nil {
		a.fail(place+".class", "%s", err)
		return graph.None
	}
	return lot
}
