package column

import (
	"math"
	"slices"

	"kerfbook/costing/graph"
)

const noSlot slot = -1

// assemble leaves out the steps nothing rests on and gives columns their places: a
// place is free again after the last step that reads it.
func (m *compiler) assemble(o Options) *Plan {
	p := &Plan{g: m.cone.g}
	outputs := make([]reg, len(o.Outputs))
	for i, id := range o.Outputs {
		outputs[i] = m.column(m.form(id))
		p.varies = append(p.varies, m.cone.moves(id))
	}
	// Chains of forms leave columns behind that no figure reads in the end.
	work := m.living(outputs)
	places, shared := m.share(work, m.owners(outputs))
	p.shared = shared
	for r, at := range places {
		if at == noSlot {
			continue
		}
		// Columns of their own stand behind the shared ones.
		if at < noSlot {
			places[r] = slot(shared) + (noSlot - 1 - at)
		}
	}
	p.own = m.fillings(places, shared)
	for _, w := range work {
		s := w.step
		s.out = places[w.out]
		for _, a := range w.args {
			s.args = append(s.args, places[a])
		}
		p.most = max(p.most, len(s.args))
		p.steps = append(p.steps, s)
	}
	for _, id := range o.Vary {
		p.inputs = append(p.inputs, places[m.given[id]])
	}
	for _, r := range outputs {
		p.outputs = append(p.outputs, places[r])
	}
	return p
}

// living are the steps that outputs rest on, and those that may stop a run.
func (m *compiler) living(outputs []reg) []work {
	live := make([]bool, m.regs)
	for _, r := range outputs {
		live[r] = true
	}
	var out []work
	for i := len(m.work) - 1; i >= 0; i-- {
		w := m.work[i]
		// A decision outside its window is an error though nothing should read it.
		if !live[w.out] && !w.guards {
			continue
		}
		for _, a := range w.args {
			live[a] = true
		}
		out = append(out, w)
	}
	slices.Reverse(out)
	return out
}

// owners marks the columns that nothing else may use. They outlast a chunk: filled
// before the run, or read after it.
func (m *compiler) owners(outputs []reg) []bool {
	own := make([]bool, m.regs)
	for _, r := range outputs {
		own[r] = true
	}
	for _, r := range m.given {
		own[r] = true
	}
	for _, r := range m.constants {
		own[r] = true
	}
	return own
}

// share places the results of steps. Columns of their own get places counted down
// from below noSlot.
func (m *compiler) share(work []work, own []bool) (places []slot, shared int) {
	last := make([]int, m.regs)
	for i, w := range work {
		last[w.out] = i
		for _, a := range w.args {
			last[a] = i
		}
	}
	places = make([]slot, m.regs)
	next := noSlot - 1
	for r := range places {
		if places[r] = noSlot; own[r] {
			places[r] = next
			next--
		}
	}
	var free []slot
	release := func(r reg, i int) {
		if !own[r] && last[r] == i && !slices.Contains(free, places[r]) {
			free = append(free, places[r])
		}
	}
	for i, w := range work {
		// The place of the result is taken before those of the arguments are given back: a
		// polynomial writes its result term by term and still reads them.
		if places[w.out] == noSlot {
			if len(free) == 0 {
				free = append(free, slot(shared))
				shared++
			}
			places[w.out], free = free[len(free)-1], free[:len(free)-1]
		}
		for _, a := range w.args {
			release(a, i)
		}
		release(w.out, i)
	}
	return places, shared
}

// fillings are the columns of their own, in order of place.
func (m *compiler) fillings(places []slot, shared int) []filling {
	n := 0
	for _, at := range places {
		n = max(n, int(at)+1-shared)
	}
	out := make([]filling, n)
	for bits, r := range m.constants {
		out[int(places[r])-shared] = filling{true, math.Float64frombits(bits)}
	}
	return out
}

func idsWith(parts []part, want part) (ids []graph.ID) {
	for id, p := range parts {
		if p == want {
			ids = append(ids, graph.ID(id))
		}
	}
	return ids
}
