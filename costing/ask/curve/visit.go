package curve

import "kerfbook/costing/graph"

// visit walks from the figures down to the steps that they follow between two
// quantities. A count that stays passes nothing on, and a choice passes on only
// what it takes.
type visit struct {
	s     *search
	seen  []bool
	found []int // places in work.steps
}

func (v *visit) figure(id graph.ID) {
	s := v.s
	if v.seen[id] || !s.w.moves[id] || s.w.given(id) {
		return
	}
	v.seen[id] = true
	if i := s.w.stepOf[id] - 1; i >= 0 && !s.isGrain(i) {
		v.step(i)
		return
	}
	v.all(s.w.g.Node(id))
}

func (v *visit) all(n *graph.Node) {
	if n.Op == graph.At {
		v.at(n)
		return
	}
	for _, a := range n.Args {
		v.figure(a)
	}
}

// step goes on below what decides a step that turns, and below what is taken by
// one that does not.
func (v *visit) step(i int) {
	s := v.s
	st := &s.w.steps[i]
	states := s.scan.states[i]
	took, isChoice := st.taken(states[s.i])
	switch {
	case s.held[st.node]: // as it was, by decree
		if isChoice {
			v.figure(took)
		}
		return
	case !s.turned(i):
		if isChoice {
			v.figure(took)
		} else if !s.before.Same(s.latest, st.node) {
			v.all(s.w.g.Node(st.node)) // multiples of a size that is another
		}
		return
	}
	v.found = append(v.found, i)
	if st.form != extreme {
		for _, a := range st.asks {
			v.figure(a)
		}
		return
	}
	takes, _ := st.taken(states[s.i+1])
	for _, a := range []graph.ID{took, takes} {
		if a >= 0 {
			v.figure(a)
		}
	}
}

// isGrain reports that a step only passes on what it rests on: it is grain here,
// or everywhere.
func (s *search) isGrain(i int) bool {
	if s.scan.breaks[i][s.i] {
		return false
	}
	states, grain := s.scan.states[i], s.scan.grain[i]
	return states[s.i] != states[s.i+1] || len(grain) > 0 && len(grain) == len(s.scan.turns[i])
}

// turned reports that a step is in another state at i+1, with what is held, than
// at i.
func (s *search) turned(i int) bool {
	st, was := &s.w.steps[i], s.scan.states[i][s.i]
	is := st.exactState(s.latest)
	if st.form == extreme && was != undefined {
		return is&(1<<was) == 0
	}
	return is != was
}

// at goes on below the index, and below the figure taken if the index stays.
func (v *visit) at(n *graph.Node) {
	v.figure(n.Args[0])
	if !v.s.before.Same(v.s.latest, n.Args[0]) {
		return
	}
	if index, ok := v.s.before.Raw(n.Args[0]); ok {
		if k := index.Round(0).IntPart(); k > 0 && int(k) < len(n.Args) {
			v.figure(n.Args[k])
		}
	}
}
