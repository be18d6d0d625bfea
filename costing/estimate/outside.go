package estimate

import (
	"kerfbook/costing/graph"
	"kerfbook/costing/making/finish"
	"kerfbook/costing/making/routing"
)

// outside is the cost of the lot of an outside process. A process that charges by
// area wants the area entered, or a part whose surface can be computed.
func (a *assembly) outside(m *made, at int) graph.ID {
	st := m.flow.Steps[at]
	def := st.Operation.Treatment
	if def == nil {
		return graph.None
	}
	p, ok := a.process(def.Process)
	if !ok {
		return graph.None
	}
	surface := graph.None
	if def.AreaDM2 == nil && m.part != nil {
		surface = a.surfaceAt(m.part, m.flow, at)
	}
	place := m.place + "." + index("routing", at) + ".treatment"
	if def.AreaDM2 == nil && surface == graph.None && (p.Area != graph.None || p.AreaMicron != graph.None) {
		a.fail(place, "%s charges by area: give area_dm2, since the surface of this piece cannot be computed", def.Process)
		return graph.None
	}
	lot, err := finish.Build(st.Scope, def, p, surface, st.UnitsIn)
	if err != nil {
		a.fail(place+".class", "%s", err)
	}
	return lot
}

// worksByArea refuses work by area on a piece whose surface is not known.
func (a *assembly) worksByArea(f routing.Flow, path string) {
	for i, st := range f.Steps {
		if routing.WorksByArea(st.Operation) && st.Surface == graph.None {
			a.fail(path+"."+index("routing", i), "operation %d works by area: give area_dm2, since the surface of this piece cannot be computed", st.Operation.Number)
		}
	}
}
