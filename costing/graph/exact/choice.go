package exact

import (
	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// value gives a figure, or the cause why there is none.
func (r *run) value(id graph.ID) (num, graph.ID) { return r.values[id], r.causes[id] }

// at gives the value with an index; the others need no value. So a regime or offer
// that lacks a rate spoils nothing until it is taken.
func at(r *run, n *graph.Operation, id graph.ID) (num, graph.ID) {
	index, cause := r.value(n.Args[0])
	if cause != defined {
		return num{}, cause
	}
	i, ok := index.snapped().index(len(n.Args) - 1)
	if !ok {
		return num{}, id
	}
	return r.value(n.Args[i])
}

// index gives a whole number from 1 to n.
func (a num) index(n int) (i int, ok bool) {
	a = a.stripped(0)
	if a.neg || a.hi != 0 || a.exp < 0 || a.exp > 9 {
		return 0, false
	}
	whole := wide{a.lo}
	whole, _ = whole.mulSmall(pow10[a.exp])
	if whole.isZero() || whole.cmp(wide{uint64(n)}) > 0 {
		return 0, false
	}
	return int(whole[0]), true
}

// holds compares the first two arguments by the ninth place.
func holds(r *run, n *graph.Operation) (bool, graph.ID) {
	a, cause := r.value(n.Args[0])
	if cause != defined {
		return false, cause
	}
	b, cause := r.value(n.Args[1])
	if cause != defined {
		return false, cause
	}
	return n.Compare.Holds(a.snapped().cmp(b.snapped())), defined
}

// choose gives one of two arms; the other needs no value.
func choose(r *run, n *graph.Operation, _ graph.ID) (num, graph.ID) {
	yes, cause := holds(r, n)
	switch {
	case cause != defined:
		return num{}, cause
	case yes:
		return r.value(n.Args[2])
	}
	return r.value(n.Args[3])
}

func check(r *run, n *graph.Operation, _ graph.ID) (num, graph.ID) {
	yes, cause := holds(r, n)
	if cause != defined || !yes {
		return num{}, cause
	}
	return fromInt(1), defined
}

// decide gives a decision, if every input it depends on has a value: the one that
// was taken where all lie in their windows, otherwise one that is taken again. (A pinned
// decision never gets here.)
func decide(r *run, n *graph.Operation, id graph.ID) (num, graph.ID) {
	if n.Decision == nil {
		return lenient(r.g.Value(id)), defined
	}
	if n.Decision.Drawn != nil {
		return num{}, id // nobody has drawn it
	}
	outside := -1
	for i, w := range n.Decision.Valid {
		v, cause := r.value(w.Input)
		if cause != defined {
			return num{}, cause
		}
		if outside < 0 && (v.cmp(lenient(w.Low)) < 0 || v.cmp(lenient(w.High)) > 0) {
			outside = i
		}
	}
	if outside < 0 {
		return lenient(r.g.Value(id)), defined
	}
	if n.Decision.Again != nil {
		inputs := make([]decimal.Decimal, len(n.Decision.Valid))
		for i, w := range n.Decision.Valid {
			inputs[i] = r.values[w.Input].decimal()
		}
		if again, ok := n.Decision.Again(inputs); ok {
			return lenient(again), defined
		}
	}
	// An error of the whole evaluation and no figure without a value: a layout made for
	// other sizes would be a wrong price, and only a new build can decide.
	w := n.Decision.Valid[outside]
	r.err = &OutsideDecisionError{Key: r.g.Key(id), Input: r.g.Key(w.Input),
		Value: r.values[w.Input].decimal(), Low: w.Low, High: w.High}
	return num{}, id
}
