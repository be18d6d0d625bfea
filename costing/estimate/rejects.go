package estimate

import (
	"kerfbook/costing/graph"
	"kerfbook/costing/making/routing"
)

// rejects shows, at every operation where pieces are lost, what a piece has cost
// up to there and what those cost that are rejected there. It is for information:
// the cost is contained in that of the batch already, which starts more pieces
// than come out good, and is never added again.
//
// A piece has cost, by unit in of each operation, what the operation costs, what
// it consumes, and the material. So the good pieces, the rejected ones at what
// they have cost where they are rejected, and those used up by set-ups make up the
// cost of the batch.
func (a *assembly) rejects(m *made) {
	loses := false
	for _, st := range m.flow.Steps {
		loses = loses || st.Yield != graph.None
	}
	if !loses {
		return
	}
	soFar := graph.None
	for i, st := range m.flow.Steps {
		s := st.Scope.By("C2")
		added := a.addedAt(m, i)
		if added != graph.None {
			each := s.Divide("added", "cost that the operation adds, per piece", added, st.UnitsIn)
			soFar = s.Sum("so-far", "cost of a piece up to here", soFar, each)
		}
		if st.Yield != graph.None && soFar != graph.None {
			rejected(s, st, soFar)
		}
	}
}

func rejected(s graph.Scope, st routing.Step, soFar graph.ID) {
	share := s.Subtract("rejected", "share rejected here", s.One(graph.Plain), st.Yield)
	each := s.Multiply("reject-cost", "cost of what is rejected here, per piece started; contained in the cost already", share, soFar)
	s.Multiply("reject-cost-batch", "cost of what is rejected here, of the batch; contained in the cost already", each, st.Started)
}

// addedAt is what an operation adds to the cost of the batch: its own cost, the
// parts it consumes, and at the first the material.
func (a *assembly) addedAt(m *made, at int) graph.ID {
	s := m.flow.Steps[at].Scope.By("C2")
	terms := m.work[at][:]
	if at == 0 {
		terms = append(m.material[:len(m.material):len(m.material)], terms...)
	}
	number := m.flow.Steps[at].Operation.Number
	var pairs []graph.ID
	for _, u := range m.uses {
		if first := u.operation == 0 && at == 0; (first || u.operation == number) && u.part.costs.Production != graph.None {
			pairs = append(pairs, u.need, u.part.costs.Production)
		}
	}
	if len(pairs) > 0 {
		terms = append(terms[:len(terms):len(terms)], s.SumProducts("parts-cost", "cost of the parts it consumes", pairs...))
	}
	return s.Sum("added-batch", "cost that the operation adds, of the batch", terms...)
}
