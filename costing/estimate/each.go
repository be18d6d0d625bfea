package estimate

import (
	"kerfbook/costing/graph"
	"kerfbook/costing/making/routing"
)

// operationsPerPiece writes, for display, what each operation takes and costs by piece of
// the batch; nothing rests on it. With the material and the parts used the costs
// add up to the cost of production.
func (a *assembly) operationsPerPiece(m *made, pieces graph.ID) {
	for i, st := range m.flow.Steps {
		s := st.Scope.In("each").By("C2")
		each := func(name, label string, batch graph.ID) {
			s.Divide(name, label+" per piece", batch, pieces)
		}
		w := m.work[i]
		each("minutes", "time of the work centre", st.Occupied)
		each("attended-time", "attended time", st.Attended)
		for _, k := range operationKinds() {
			each(kindEntries[k].operation.key, kindEntries[k].operation.label, w[k])
		}
		each("cost", "cost of the operation", s.Sum("cost-batch", "cost of the operation", w[:]...))
		a.timesPerPiece(s.By("M15"), st, pieces)
	}
}

// timesPerPiece writes the share of set-ups in a piece, and what a full load takes
// by piece of it.
func (a *assembly) timesPerPiece(s graph.Scope, st routing.Step, pieces graph.ID) {
	of := st.Scope.Known
	s.Divide("setup", "share of the set-ups in a piece", of("setup-total"), pieces)
	load := graph.Or(of("pieces-per-load"), s.One(graph.Piece))
	for _, part := range []struct{ name, label string }{
		{"tool-changes", "tool changes"}, {"load-handling", "handling of a load"}, {"probing", "probing"},
	} {
		s.By("M14").Divide(part.name, part.label+" per piece of a full load", of(part.name), load)
	}
	timeRest(s, st, pieces, load)
}

// timeRest writes what is left of the time by good piece: loads that are not
// full, pieces that turn out bad, and what practice takes off. It is taken off the
// time of the batch by the products that time consists of, so that where nothing is
// left there is nothing, and not what rounding leaves of shares of a piece.
func timeRest(s graph.Scope, st routing.Step, pieces, load graph.ID) {
	known := []graph.ID{st.Scope.Known("setup-total")}
	if st.Operation.Learning == nil {
		run := s.Multiply("known-pieces", "piece time of the good pieces", pieces, st.PieceTime)
		if st.LoadTime != graph.None {
			full := s.Divide("full-loads", "loads of the good pieces, if all were full", pieces, load)
			run = s.Sum("known-run", "piece and load time of the good pieces", run, s.Multiply("known-loads", "load time of the good pieces", full, st.LoadTime))
		}
		known = append(known, run)
	}
	rest := st.Occupied
	if known := s.Sum("known-batch", "set-up, piece and load time of the good pieces", known...); known != graph.None {
		rest = s.Subtract("rest-batch", "part-filled loads, rejects and practice, of the batch", rest, known)
	}
	s.Divide("rest", "part-filled loads, rejects and practice, per piece", rest, pieces)
}
