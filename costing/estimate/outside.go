package estimate

import (
	"strconv"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/making/finish"
	"kerfbook/costing/making/routing"
	"kerfbook/costing/rates"
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
	if def.AreaDM2 == nil && surface == graph.None && p.PricesArea() {
		return lacks("area of "+st.Scope.Record(), place+".area_dm2")
	}
	mass := graph.None
	if m.part != nil && m.part.def.MassG != nil {
		mass = m.part.scope.Shared("mass", "mass of the finished part", graph.Gram.Per(graph.Piece), *m.part.def.MassG, "mass_g")
	}
	p.Minimum = a.leastCharge(m, at, p.Minimum)
	lot, err := finish.Build(st.Scope, def, p, finish.Lot{In: st.UnitsIn, Yield: st.Yield, Surface: surface, Mass: mass, Threads: threads(m.flow.Steps[:at])})
	if err != nil {
		a.fail(place+".class", "%s", err)
		return graph.None
	}
	return lot
}

// threads are those cut in operations.
func threads(steps []routing.Step) (out []*bom.Feature) {
	for _, st := range steps {
		for i := range st.Operation.Features {
			if f := &st.Operation.Features[i]; f.Kind.Thread() {
				out = append(out, f)
			}
		}
	}
	return out
}

// leastCharge is the minimum of an outside process as its order bears it: where the
// supplier asks for so many minimum charges of an order at most, the highest, those below
// are not asked. An order is what follows one another at one supplier.
func (a *assembly) leastCharge(m *made, at int, minimum graph.ID) graph.ID {
	st := m.flow.Steps[at]
	def, _ := a.book.Process(st.Operation.Treatment.Process)
	supplier, place := a.book.Supplier(def.Supplier)
	order := a.orderOf(m, at, def)
	if minimum == graph.None || supplier == nil || supplier.LeastCharges == nil || len(order) < 2 {
		return minimum
	}
	asked := a.root.In("supplier", string(supplier.ID)).From(graph.Source{Where: "supplier " + supplier.Name, Path: index("suppliers", place)}).
		Shared("least-charges", "minimum charges asked of an order", graph.Plain, *supplier.LeastCharges, "least_charges")
	s := st.Scope.By("F2")
	var higher []graph.ID
	for _, i := range order {
		than := graph.Greater
		if i < at {
			than = graph.GreaterOrEqual // of equal ones the first goes before
		}
		if other, ok := a.process(m.flow.Steps[i].Operation.Treatment.Process); i != at && ok && other.Minimum != graph.None {
			number := strconv.Itoa(m.flow.Steps[i].Operation.Number)
			higher = append(higher, s.Choose("least-before-"+number, "the minimum of operation "+number+" goes before", other.Minimum, than, minimum, s.One(graph.Plain), s.Zero(graph.Plain)))
		}
	}
	if len(higher) == 0 {
		return minimum
	}
	before := s.Add("least-before", "minimum charges of the order that go before", higher...)
	return s.Choose("minimum-asked", "minimum charge asked in this order", before, graph.Less, asked, minimum, s.Zero(s.Unit(minimum)))
}

// orderOf lists the outside operations that go to a supplier together with one: those
// that follow one another there, in one currency.
func (a *assembly) orderOf(m *made, at int, def *rates.Process) []int {
	with := func(i int) bool {
		if i < 0 || i >= len(m.flow.Steps) || m.flow.Steps[i].Operation.Treatment == nil {
			return false
		}
		other, _ := a.book.Process(m.flow.Steps[i].Operation.Treatment.Process)
		return other != nil && other.Supplier == def.Supplier && other.Currency == def.Currency
	}
	first := at
	for with(first - 1) {
		first--
	}
	var out []int
	for i := first; with(i); i++ {
		out = append(out, i)
	}
	return out
}
