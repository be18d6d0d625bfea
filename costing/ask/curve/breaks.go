package curve

import (
	"cmp"
	"context"
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
	return c.breaksAt(ctx, places)
}

// breaksAt gives the breaks at places, with their causes.
func (c *Curve) breaksAt(ctx context.Context, places []Place) ([]Break, error) {
	before, err := c.m.live()
	if err != nil {
		return nil, err
	}
	after, out := before.Copy(), make([]Break, 0, len(places))
	for _, p := range places {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		s := &search{scan: c.scan, i: int(p.UpTo - c.From), before: before, after: after, out: Break{UpTo: p.UpTo, From: p.UpTo + 1}}
		if err := s.run(); err != nil {
			return nil, err
		}
		out = append(out, s.out)
	}
	return out, nil
}

// search finds the causes of one break, between i and i+1. It holds one step after
// another as it was at i until nothing steps any more: run, then down the page.
type search struct {
	*scan
	i int

	before, after *exact.Live
	latest        *exact.Live // at i+1 with steps as they were at i
	later         *exact.Live // at i+2 with those that turn before it as they were at i+1
	asWas         []int       // the steps held in latest; all lists are in the order of the graph
	turning       []int       // the others that are in another state there than at i
	free          []int       // what steps with nothing held
	seen          map[graph.ID]bool
	out           Break
}

// run takes the steps arguments before results. Where none of what was held makes
// a difference, figures bend here and do not step, as where a need grows into the
// break price that was ordered up to before: all of it is named then.
func (s *search) run() error {
	s.m.pin(s.before, s.out.UpTo)
	s.m.pin(s.after, s.out.From)
	s.out.Before, _ = s.before.Raw(s.m.request.Figure)
	figures := s.drawnIn(s.after)
	if figures[ofFigure] != nil {
		s.out.After = *figures[ofFigure]
	}
	s.latest = s.after.Copy()
	for k := range s.m.steps {
		if s.breaks[k][s.i] {
			s.turning = append(s.turning, k)
		}
	}
	for _, k := range s.turning {
		if s.follows(k) {
			s.free = append(s.free, k)
		}
	}
	for k, ok := s.next(true); ok; k, ok = s.next(true) {
		if err := s.cause(k); err != nil {
			return err
		}
	}
	if len(s.out.Causes) == 0 {
		for _, k := range s.asWas {
			bend := s.step(k)
			bend.Effect = s.beyond(s.drawnIn(s.latest))
			s.out.Causes = append(s.out.Causes, bend)
		}
	}
	for _, k := range s.free {
		if _, held := slices.BinarySearch(s.asWas, k); !held {
			s.out.Follows = append(s.out.Follows, s.step(k))
		}
	}
	s.out.Effect = s.beyond(figures)
	return s.fault()
}

// fault is an error of an evaluation at the two quantities.
func (s *search) fault() error {
	if err := s.before.Err(); err != nil {
		return evaluation(s.out.UpTo, err)
	}
	if err := cmp.Or(s.after.Err(), s.latest.Err()); err != nil {
		return evaluation(s.out.From, err)
	}
	return nil
}

// next gives the first step that the figures follow from i to i+1 with what is held so
// far: one that steps anyway, or one that only does so, or only matters, because of what
// is held.
func (s *search) next(own bool) (int, bool) {
	for _, k := range s.turning {
		if _, free := slices.BinarySearch(s.free, k); free == own && s.follows(k) {
			return k, true
		}
	}
	return 0, false
}

// follows walks from a step up, and reports that it gets to what is drawn. A count that
// stays passes nothing on, and a choice passes on only what it takes.
func (s *search) follows(k int) bool {
	s.seen = map[graph.ID]bool{}
	return s.leadsUp(s.m.steps[k].node)
}

func (s *search) leadsUp(id graph.ID) bool {
	if slices.Contains(s.m.drawn, id) {
		return true
	}
	for _, above := range s.m.readers.Of(id) {
		if s.m.moves[above] && !s.seen[above] && s.passes(above, id) {
			s.seen[above] = true
			if s.leadsUp(above) {
				return true
			}
		}
	}
	return false
}

// passes reports that a figure is followed to one that it rests on.
func (s *search) passes(id, below graph.ID) bool {
	if k := s.m.stepOf[id] - 1; k >= 0 && !s.passesOn(k) {
		return slices.Contains(s.followed(k), below)
	}
	o := s.m.g.Operation(id)
	return o.Op != graph.At || slices.Contains(s.indexed(o.Args), below)
}

// passesOn reports that a step only passes on what it rests on: it is grain here,
// or everywhere.
func (s *search) passesOn(k int) bool {
	if s.breaks[k][s.i] {
		return false
	}
	return s.states[k][s.i] != s.states[k][s.i+1] || s.allGrain(k)
}

// allGrain reports that a step is grain wherever it turns.
func (s *scan) allGrain(k int) bool { return len(s.grain[k]) > 0 && len(s.grain[k]) == len(s.turns[k]) }

// followed gives what a step is followed to: below one that turns, in another state at
// i+1 with what is held than at i, what decides it; below one that does not, or is
// held, what it takes.
func (s *search) followed(k int) []graph.ID {
	st := &s.m.steps[k]
	took, isChoice := st.taken(s.states[k][s.i])
	_, turns := slices.BinarySearch(s.turning, k)
	_, held := slices.BinarySearch(s.asWas, k)
	switch {
	case turns && st.sets:
		takes, _ := st.taken(s.states[k][s.i+1])
		return []graph.ID{took, takes}
	case turns:
		return st.asks
	case isChoice:
		return []graph.ID{took}
	case held || s.before.Same(s.latest, st.node):
		return nil
	}
	return st.asks // multiples of a size that is another
}

// indexed gives what a look-up is followed to: its index, and what it takes if that stays.
func (s *search) indexed(args []graph.ID) []graph.ID {
	if index, ok := s.before.Raw(args[0]); ok && s.before.Same(s.latest, args[0]) {
		if k := index.Round(0).IntPart(); k > 0 && int(k) < len(args) {
			return []graph.ID{args[0], args[k]}
		}
	}
	return args[:1]
}

// cause holds a step as it was, with everything that only steps because of that:
// a count held too small must not be made up for by another step. It is a cause if
// that makes a difference, at i+1 or, where it stays so, at i+2.
func (s *search) cause(k int) error {
	free := s.drawnIn(s.latest)
	s.hold(k)
	for induced, ok := s.next(false); ok; induced, ok = s.next(false) {
		s.hold(induced)
	}
	differs, err := differ(free, s.drawnIn(s.latest)), s.fault()
	if err == nil && !differs {
		differs, err = s.differsLater(k)
	}
	if err != nil || !differs {
		return err
	}
	cause := s.step(k)
	cause.Effect = s.beyond(free)
	s.out.Causes = append(s.out.Causes, cause)
	return nil
}

// hold holds a step as it was, and looks which others turn with that.
func (s *search) hold(k int) {
	reached := s.m.steps[k].as(s.states[k][s.i], s.latest, s.before)
	s.asWas, s.turning = listed(s.asWas, k, true), listed(s.turning, k, false)
	for _, id := range reached {
		j := s.m.stepOf[id] - 1
		if _, held := slices.BinarySearch(s.asWas, j); j < 0 || held || s.passesOn(j) {
			continue
		}
		st, was := &s.m.steps[j], s.states[j][s.i]
		is := st.exactState(s.latest)
		turns := is != was
		if st.sets && was != undefined {
			turns = is&(1<<was) == 0
		}
		s.turning = listed(s.turning, j, turns)
	}
}

// listed gives a list in order with or without an entry.
func listed(list []int, entry int, there bool) []int {
	at, is := slices.BinarySearch(list, entry)
	switch {
	case there && !is:
		return slices.Insert(list, at, entry)
	case !there && is:
		return slices.Delete(list, at, at+1)
	}
	return list
}

// as holds a step in an evaluation as it was in one before: at what it took, or at the
// value it had there, if what it took has none any more.
func (st *step) as(was state, in, before *exact.Live) (reached []graph.ID) {
	if id, ok := st.taken(was); ok {
		if _, ok := in.Raw(id); ok {
			return in.Take(st.node, id)
		}
	}
	if v, ok := before.Raw(st.node); ok {
		return in.Pin(st.node, v)
	}
	return nil
}

// drawnIn gives what is drawn; nil where it has no value.
func (s *search) drawnIn(v figures) []*decimal.Decimal {
	return []*decimal.Decimal{raw(v, s.m.drawn[ofFigure]), raw(v, s.m.drawn[ofBatch])}
}

func differ(a, b []*decimal.Decimal) bool {
	return !slices.EqualFunc(a, b, func(x, y *decimal.Decimal) bool {
		return x == nil && y == nil || x != nil && y != nil && x.Equal(*y)
	})
}

// beyond is what the batch costs in an evaluation beyond the latest one; nil where one
// has no value.
func (s *search) beyond(drawn []*decimal.Decimal) *decimal.Decimal {
	batch := drawn[ofBatch]
	if batch == nil {
		return nil
	}
	s.latest.Pin(s.m.with, *batch)
	return raw(s.latest, s.m.effect)
}

// differsLater asks the same one quantity on, for a step that has stayed so, with
// what turns in between as it was.
func (s *search) differsLater(k int) (bool, error) {
	states, quantity := s.states[k], s.out.From+1
	if s.i+2 >= s.all || states[s.i+1] != states[s.i+2] {
		return false, nil
	}
	if s.later == nil {
		s.later = s.after.Copy()
		s.m.pin(s.later, quantity)
		for j := range s.m.steps {
			if s.breaks[j][s.i+1] {
				s.m.steps[j].as(s.states[j][s.i+1], s.later, s.after)
			}
		}
	}
	st, free := &s.m.steps[k], s.drawnIn(s.later)
	st.as(states[s.i], s.later, s.before)
	differs := differ(free, s.drawnIn(s.later))
	s.later.Release(st.node)
	if err := s.later.Err(); err != nil {
		if quantity > s.m.request.To {
			return false, nil // what lies behind the range is of no concern
		}
		return false, evaluation(quantity, err)
	}
	return differs, nil
}

// step describes a step from i to i+1.
func (s *search) step(i int) Step {
	id := s.m.steps[i].node
	return Step{Name: s.m.name(id), Was: raw(s.before, id), Is: raw(s.after, id),
		Took: s.choice(i, s.before, s.i), Takes: s.choice(i, s.after, s.i+1)}
}

func raw(v figures, id graph.ID) *decimal.Decimal {
	if d, ok := v.Raw(id); ok {
		return &d
	}
	return nil
}

// choice names the figure that a choice takes its value from; a least index names
// the argument.
func (s *search) choice(i int, v figures, at int) *Name {
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
