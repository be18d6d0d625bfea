package curve

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// Break is a place between two quantities at which the figure steps, exactly.
type Break struct {
	UpTo, From    int64           // From is UpTo + 1
	Before, After decimal.Decimal // the figure at the two quantities
	Causes        []Step          // arguments before results; their effects are 0 where the figure only bends
	Follows       []Step          // what steps here because of the causes
	// Effect is what the batch costs at From beyond what it would with the causes
	// as they were, in money; nil where that has no value.
	Effect *decimal.Decimal
}

// Step is one figure that steps.
type Step struct {
	Name
	Was, Is *decimal.Decimal // nil where it has no value
	// Took and Takes name what a choice between figures takes its value from,
	// before and after; nil for a count.
	Took, Takes *Name
	// Effect is the share of the cause in the effect of the break; nil for what
	// only follows.
	Effect *decimal.Decimal
}

// Breaks gives breaks with their causes, in order of the quantity: if there are more
// than most, those with the largest effect. The error is a [*QuantityError], or that
// of the context.
func (c *Curve) Breaks(ctx context.Context, most int) ([]Break, error) {
	places := slices.Clone(c.Places)
	if len(places) > most {
		slices.SortStableFunc(places, func(a, b Place) int { return cmp.Compare(math.Abs(b.size), math.Abs(a.size)) })
		places = places[:most]
		slices.SortFunc(places, func(a, b Place) int { return cmp.Compare(a.UpTo, b.UpTo) })
	}
	beyond, err := c.m.meter()
	if err != nil {
		return nil, err
	}
	out := make([]Break, 0, len(places))
	for _, p := range places {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		s := &search{scan: c.scan, beyond: beyond, i: int(p.UpTo - c.From), out: Break{UpTo: p.UpTo, From: p.UpTo + 1}}
		if err := s.run(); err != nil {
			return nil, err
		}
		out = append(out, s.out)
	}
	return out, nil
}

// meter gives what takes the batch cost of one evaluation from that of another, by
// a graph of three figures; nil where one has no value.
func (m *model) meter() (func(a, b *exact.Values) (*decimal.Decimal, error), error) {
	batch := m.drawn[ofBatch]
	unit := m.g.Node(batch).Unit
	build := graph.NewBuilder(graph.Limits{})
	s := build.Root()
	with := s.Input("with", "cost of the batch", unit, decimal.Zero)
	without := s.Input("without", "cost of the batch with the step as it was", unit, decimal.Zero)
	effect := s.Subtract("effect", "effect of the step on the cost of the batch", with, without)
	g, err := build.Build()
	if err != nil {
		return nil, fmt.Errorf("curve: effect: %w", err)
	}
	e := exact.New(g)
	return func(a, b *exact.Values) (*decimal.Decimal, error) {
		x, okX := a.Raw(batch)
		y, okY := b.Raw(batch)
		if !okX || !okY {
			return nil, nil
		}
		v, err := e.Evaluate(exact.Pins{with: x, without: y})
		if err != nil {
			return nil, fmt.Errorf("curve: effect: %w", err)
		}
		d, err := v.Get(effect)
		return &d, err
	}, nil
}

// search finds the causes of one break, between i and i+1. It holds one step after
// another as it was at i until nothing steps any more: run, then down the page.
type search struct {
	*scan
	beyond func(a, b *exact.Values) (*decimal.Decimal, error)
	i      int

	before, after *exact.Values
	pins          exact.Pins    // steps held as they were, at i+1
	asWas         []int         // those steps, in the order of the graph
	latest        *exact.Values // at i+1 with the pins
	free          []int         // what steps with nothing held
	out           Break
}

// run takes the steps arguments before results. Where none of what was held makes
// a difference, figures bend here and do not step, as where a need grows into the
// break price that was ordered up to before: all of it is named then.
func (s *search) run() (err error) {
	s.pins = exact.Pins{}
	if s.before, err = s.m.at(s.out.UpTo, nil); err != nil {
		return err
	}
	if s.after, err = s.m.at(s.out.From, nil); err != nil {
		return err
	}
	s.out.Before, _ = s.before.Raw(s.m.request.Figure)
	s.out.After, _ = s.after.Raw(s.m.request.Figure)
	s.latest = s.after
	s.free = s.stepping()
	for next := s.free; len(next) > 0; next, _ = s.parted() {
		if err := s.cause(next[0]); err != nil {
			return err
		}
	}
	if len(s.out.Causes) == 0 {
		for _, i := range s.asWas {
			bend := s.step(i)
			if bend.Effect, err = s.beyond(s.latest, s.latest); err != nil {
				return err
			}
			s.out.Causes = append(s.out.Causes, bend)
		}
	}
	for _, i := range s.free {
		if _, held := slices.BinarySearch(s.asWas, i); !held {
			s.out.Follows = append(s.out.Follows, s.step(i))
		}
	}
	s.out.Effect, err = s.beyond(s.after, s.latest)
	return err
}

// parted parts what steps with what is held so far into what steps anyway, and
// what only does so, or only matters, because of what is held.
func (s *search) parted() (own, induced []int) {
	for _, i := range s.stepping() {
		if slices.Contains(s.free, i) {
			own = append(own, i)
		} else {
			induced = append(induced, i)
		}
	}
	return own, induced
}

// stepping walks from the figures down, and lists the steps, in the order of the
// graph, that they follow from i to i+1 with what is held so far. A count that stays
// passes nothing on, and a choice passes on only what it takes.
func (s *search) stepping() []int {
	seen := make([]bool, s.m.g.Len())
	var found []int
	var follow func(id graph.ID)
	follow = func(id graph.ID) {
		if id < 0 || seen[id] || !s.m.moves[id] || s.m.given(id) {
			return
		}
		seen[id] = true
		n := s.m.g.Node(id)
		below := n.RestsOn()
		if i := s.m.stepOf[id] - 1; i >= 0 && !s.passesOn(i) {
			turns := false
			if below, turns = s.followed(i); turns {
				found = append(found, i)
			}
		} else if n.Op == graph.At {
			below = s.indexed(n)
		}
		for _, a := range below {
			follow(a)
		}
	}
	for _, id := range s.m.drawn {
		follow(id)
	}
	slices.Sort(found)
	return found
}

// passesOn reports that a step only passes on what it rests on: it is grain here,
// or everywhere.
func (s *search) passesOn(i int) bool {
	if s.breaks[i][s.i] {
		return false
	}
	states, grain := s.states[i], s.grain[i]
	return states[s.i] != states[s.i+1] || len(grain) > 0 && len(grain) == len(s.turns[i])
}

// followed gives what a step follows: below one that turns, in another state at
// i+1 with what is held than at i, what decides it; below one that does not, or is
// held, what it takes.
func (s *search) followed(i int) (below []graph.ID, turns bool) {
	st := &s.m.steps[i]
	was := s.states[i][s.i]
	took, isChoice := st.taken(was)
	_, held := slices.BinarySearch(s.asWas, i)
	if !held {
		is := st.exactState(s.latest)
		if turns = is != was; st.form == extreme && was != undefined {
			turns = is&(1<<was) == 0
		}
	}
	switch {
	case turns && st.form == extreme:
		takes, _ := st.taken(s.states[i][s.i+1])
		return []graph.ID{took, takes}, true
	case turns:
		return st.asks, true
	case isChoice:
		return []graph.ID{took}, false
	case held || s.before.Same(s.latest, st.node):
		return nil, false
	}
	return st.asks, false // multiples of a size that is another
}

// indexed gives what a look-up follows: its index, and what it takes if that stays.
func (s *search) indexed(n graph.Node) []graph.ID {
	below := n.Args[:1]
	if index, ok := s.before.Raw(n.Args[0]); ok && s.before.Same(s.latest, n.Args[0]) {
		if k := index.Round(0).IntPart(); k > 0 && int(k) < len(n.Args) {
			below = []graph.ID{n.Args[0], n.Args[k]}
		}
	}
	return below
}

// cause holds a step as it was, with everything that only steps because of that:
// a count held too small must not be made up for by another step. It is a cause if
// that makes a difference, at i+1 or, where it stays so, at i+2.
func (s *search) cause(i int) error {
	free := s.latest
	if err := s.hold(i); err != nil {
		return err
	}
	for _, induced := s.parted(); len(induced) > 0; _, induced = s.parted() {
		if err := s.hold(induced[0]); err != nil {
			return err
		}
	}
	differs, err := s.differ(free, s.latest), error(nil)
	if !differs {
		differs, err = s.differsLater(i)
	}
	if err != nil || !differs {
		return err
	}
	cause := s.step(i)
	if cause.Effect, err = s.beyond(free, s.latest); err != nil {
		return err
	}
	s.out.Causes = append(s.out.Causes, cause)
	return nil
}

// hold evaluates with a step as it was. Choices held before that may rest on it
// take what their old arm is then.
func (s *search) hold(i int) (err error) {
	at, _ := slices.BinarySearch(s.asWas, i)
	s.asWas = slices.Insert(s.asWas, at, i)
	later := slices.DeleteFunc(slices.Clone(s.asWas[at+1:]), func(k int) bool { return s.m.steps[k].choices == nil })
	for _, k := range later {
		delete(s.pins, s.m.steps[k].node)
	}
	for _, k := range append([]int{i}, later...) {
		st := &s.m.steps[k]
		if pin, ok := st.as(s.states[k][s.i], s.latest, s.before); ok {
			s.pins[st.node] = pin
			if s.latest, err = s.m.at(s.out.From, s.pins); err != nil {
				return err
			}
		}
	}
	return nil
}

// as is the value of a step in an evaluation, were it in the state it had in one
// before; the value it had there, if what it took has none any more.
func (st *step) as(was state, in, before *exact.Values) (decimal.Decimal, bool) {
	if id, ok := st.taken(was); ok {
		if v, ok := in.Raw(id); ok {
			return v, true
		}
	}
	return before.Raw(st.node)
}

func (s *search) differ(a, b *exact.Values) bool {
	return slices.ContainsFunc(s.m.drawn, func(id graph.ID) bool { return !a.Same(b, id) })
}

// differsLater asks the same one quantity on, for a step that has stayed so, with
// what turns in between as it was.
func (s *search) differsLater(i int) (bool, error) {
	states, quantity := s.states[i], s.out.From+1
	if s.i+2 >= s.all || states[s.i+1] != states[s.i+2] {
		return false, nil
	}
	pins := exact.Pins{}
	free, err := s.m.at(quantity, pins)
	hold := func(st *step, was state, before *exact.Values) (held *exact.Values, ok bool) {
		pin, ok := st.as(was, free, before)
		if err != nil || !ok {
			return nil, false
		}
		pins[st.node] = pin
		held, err = s.m.at(quantity, pins)
		return held, err == nil
	}
	for k := range s.m.steps {
		if s.breaks[k][s.i+1] {
			if held, ok := hold(&s.m.steps[k], s.states[k][s.i+1], s.after); ok {
				free = held
			}
		}
	}
	held, ok := hold(&s.m.steps[i], states[s.i], s.before)
	if err != nil && quantity > s.m.request.To {
		return false, nil // what lies behind the range is of no concern
	}
	return ok && s.differ(free, held), err
}

// step describes a step from i to i+1.
func (s *search) step(i int) Step {
	id := s.m.steps[i].node
	return Step{Name: s.m.name(id), Was: raw(s.before, id), Is: raw(s.after, id),
		Took: s.choice(i, s.before, s.i), Takes: s.choice(i, s.after, s.i+1)}
}

func raw(v *exact.Values, id graph.ID) *decimal.Decimal {
	if d, ok := v.Raw(id); ok {
		return &d
	}
	return nil
}

// choice names the figure that a choice takes its value from; a least index names
// the argument.
func (s *search) choice(i int, v *exact.Values, at int) *Name {
	st := &s.m.steps[i]
	id, ok := st.taken(s.states[i][at])
	if n := s.m.g.Node(st.node); n.Op == graph.Least {
		if index, has := v.Raw(st.node); has {
			id, ok = n.Args[index.IntPart()-1], true
		}
	}
	if !ok {
		return nil
	}
	name := s.m.name(id)
	return &name
}
