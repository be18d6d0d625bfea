package simulate

import (
	"maps"
	"slices"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// Decision is a choice, or a price asked, that could have come out otherwise had the
// ranges come out otherwise.
type Decision struct {
	ID     graph.ID
	Choice string // what is chosen at the likely values, in words; may be empty
	Asked  bool
}

// decide pins the decisions that the outputs rest on at their values for the
// likely case, the topmost first: what only a held decision rests on is out of
// the picture. A choice without a value then has none to hold and stays free. What
// is left in it, pins resting on nothing, is what the outputs need.
func (s *subject) decide(values *exact.Values) {
	s.markUncertain()
	s.pins = exact.Pins{}
	maps.Copy(s.pins, s.request.Hold)
	s.g.Reached(s.request.Outputs, func(id graph.ID) []graph.ID {
		s.needed = append(s.needed, id)
		if _, pinned := s.pins[id]; pinned || s.hold(id, values) {
			return nil
		}
		return s.g.Args(id)
	})
	slices.Reverse(s.needed)
	slices.Reverse(s.held)
	slices.Reverse(s.free)
}

// hold pins a node if it is settled before the batch is made, or was found by a solver.
func (s *subject) hold(id graph.ID, values *exact.Values) bool {
	settled := s.g.Settled(id)
	if settled == nil && s.g.Operation(id).Op != graph.Decided {
		return false
	}
	v, defined := values.Raw(id)
	held := defined && !(s.request.Hindsight && settled != nil && !settled.Asked)
	if s.uncertain[id] {
		d := Decision{ID: id, Asked: settled != nil && settled.Asked}
		if defined && !d.Asked {
			d.Choice = choice(s.g, s.g.Node(id), v.IntPart())
		}
		if held {
			s.held = append(s.held, d)
		} else {
			s.free = append(s.free, d)
		}
	}
	if held {
		s.pins[id] = v
	}
	return held
}

// choice says in words what number, counted from 1, of a decision means.
func choice(g *graph.Graph, n graph.Node, number int64) string {
	var options []string
	switch {
	case n.Op == graph.Least && number >= 1 && number <= int64(len(n.Args)):
		return candidate(g, n.Args, n.Args[number-1])
	case n.Settled != nil:
		options = n.Settled.Options
	case n.Decision != nil:
		options = n.Decision.Options
	}
	if number < 1 || number > int64(len(options)) {
		return ""
	}
	return options[number-1]
}

// candidate names one of several figures, with where it comes from if another has
// the same name.
func candidate(g *graph.Graph, all []graph.ID, id graph.ID) string {
	name := words(g, id)
	for _, other := range all {
		if where := g.Node(id).Source.Where; other != id && where != "" && words(g, other) == name {
			return name + " (" + where + ")"
		}
	}
	return name
}

// markUncertain marks every figure that rests on a range through arguments or through
// the inputs that a decision was made for, whatever decisions are held.
func (s *subject) markUncertain() {
	s.uncertain = make([]bool, s.g.Len())
	for id := range graph.ID(s.g.Len()) {
		if _, pinned := s.request.Hold[id]; pinned {
			continue
		}
		o := s.g.Operation(id)
		s.uncertain[id] = o.Op == graph.Range && s.wide(id) || slices.ContainsFunc(o.RestsOn(), func(a graph.ID) bool { return s.uncertain[a] })
	}
}

// wide reports that the ends of a range differ.
func (s *subject) wide(id graph.ID) bool {
	n := s.g.Node(id)
	return n.Low.LessThan(n.High)
}
