package exact

import (
	"maps"
	"slices"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// Live are figures that follow their pins as these are set and released. Only what is
// asked for is computed, and again only what a pin has reached since: whoever holds one
// figure after another of a large graph pays for what rests on them. One goroutine may
// use it.
type Live struct {
	run
	readers func() graph.Readers
	ops     []graph.Operation // side by side, so that those of a large graph are near when needed
	known   []bool
	held    map[graph.ID]hold
}

// hold is what stands for a figure: a number, or another figure.
type hold struct {
	value num
	from  graph.ID // None for a number
}

// Live begins an evaluation with some figures pinned.
func (e *Evaluator) Live(pins Pins) (*Live, error) {
	held, err := inOrder(e.g, pins)
	if err != nil {
		return nil, err
	}
	n := e.g.Len()
	l := &Live{run: run{g: e.g, values: make([]num, n), causes: make([]graph.ID, n), worked: map[call]num{}}, readers: e.readers,
		ops: make([]graph.Operation, n), known: make([]bool, n), held: map[graph.ID]hold{}}
	for _, p := range held {
		l.held[p.id] = hold{p.value, graph.None}
	}
	for id := range l.ops {
		l.ops[id] = e.g.Operation(graph.ID(id))
	}
	return l, nil
}

// Copy gives another evaluation that begins with what this one has.
func (l *Live) Copy() *Live {
	c := *l
	c.values, c.causes, c.known, c.args = slices.Clone(l.values), slices.Clone(l.causes), slices.Clone(l.known), nil
	c.held, c.worked = maps.Clone(l.held), maps.Clone(l.worked)
	return &c
}

// Pin holds a figure at a number, and gives what has to be computed again: the figure
// and all that rest on it, of those computed before.
func (l *Live) Pin(id graph.ID, d decimal.Decimal) (reached []graph.ID) {
	v, ok := fromDecimal(d)
	if !ok {
		l.err = &PinError{ID: id, Key: l.g.Key(id), Detail: "more than 34 digits"}
	}
	l.held[id] = hold{v, graph.None}
	return l.forget(id)
}

// Take has a figure follow one of those it rests on, as [Live.Pin] holds it.
func (l *Live) Take(id, from graph.ID) (reached []graph.ID) {
	l.held[id] = hold{from: from}
	return l.forget(id)
}

// Release has a figure follow from all it rests on again.
func (l *Live) Release(id graph.ID) (reached []graph.ID) {
	delete(l.held, id)
	return l.forget(id)
}

func (l *Live) forget(id graph.ID) (reached []graph.ID) {
	readers := l.readers()
	for open := []graph.ID{id}; len(open) > 0; {
		id := open[len(open)-1]
		open = open[:len(open)-1]
		// What is not known is looked at by nothing that is.
		if l.known[id] {
			l.known[id] = false
			reached = append(reached, id)
			open = append(open, readers.Of(id)...)
		}
	}
	return reached
}

// know computes a figure with all it rests on.
func (l *Live) know(id graph.ID) {
	if l.known[id] || l.err != nil {
		return
	}
	h, held := l.held[id]
	switch {
	case held && h.from == graph.None:
		l.set(id, h.value, defined)
	case held:
		l.know(h.from)
		l.set(id, l.values[h.from], l.causes[h.from])
	default:
		o := l.ops[id]
		for _, a := range o.RestsOn() {
			l.know(a)
		}
		if l.err == nil {
			l.compute(id, o)
		}
	}
	l.known[id] = l.err == nil
}

// Err is the first error of an evaluation or a pin; see [Evaluate]. No figure has a value
// from there on.
func (l *Live) Err() error { return l.err }

// Raw gives a figure; ok is false where it has no value.
func (l *Live) Raw(id graph.ID) (d decimal.Decimal, ok bool) {
	if l.know(id); !l.known[id] || l.causes[id] != defined {
		return decimal.Decimal{}, false
	}
	return l.values[id].decimal(), true
}

// Same reports that a figure has the same value in two evaluations of one graph, or none
// in both.
func (l *Live) Same(m *Live, id graph.ID) bool {
	l.know(id)
	m.know(id)
	return l.view().Same(m.view(), id)
}

func (l *Live) view() *Values { return &Values{l.g, l.values, l.causes} }
