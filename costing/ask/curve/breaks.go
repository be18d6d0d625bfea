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

// Break is a place between two quantities at which figures step, exactly.
type Break struct {
	UpTo, From    int64             // From is UpTo + 1
	Before, After []decimal.Decimal // the figures at the two quantities
	Causes        []Step            // arguments before results; their effects are 0 where figures only bend
	Follows       []Step            // what steps here because of the causes
	// Effect is what the batch costs at From beyond what it would with the causes
	// as they were, in money; nil without a batch cost, or where it has no value.
	Effect  *decimal.Decimal
	Touches []int // the figures that step or bend
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

// Select says which breaks are wanted.
type Select struct {
	From, To int64 // of Break.UpTo; 0 and 0 for all
	Figure   *int  // only those that touch it
	Most     int   // only so many, those with the largest effect; 0 for all
}

// Breaks gives breaks with their causes, in order of the quantity. The error is a
// [*RequestError], a [*QuantityError], or that of the context.
func (c *Curve) Breaks(ctx context.Context, sel Select) ([]Break, error) {
	places, err := c.selected(sel)
	if err != nil {
		return nil, err
	}
	meter, err := newMeter(c.w)
	if err != nil {
		return nil, err
	}
	out := make([]Break, 0, len(places))
	for _, p := range places {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		s := &search{w: c.w, scan: c.scan, meter: meter, i: int(p.UpTo - c.From), place: p}
		b, err := s.run()
		if err != nil {
			return nil, err
		}
		out = append(out, b)
	}
	return out, nil
}

func (c *Curve) selected(sel Select) ([]Place, error) {
	switch {
	case sel.Most < 0:
		return nil, &RequestError{"most", "fewer than no breaks", "give a number of breaks, or 0 for all"}
	case sel.From > sel.To:
		return nil, &RequestError{"to", "the range ends before it starts", "give the smaller quantity first"}
	case sel.Figure != nil && (*sel.Figure < 0 || *sel.Figure >= len(c.Figures)):
		return nil, &RequestError{"figure", "the curve has no such figure", "give its place in the request"}
	}
	var out []Place
	for _, p := range c.Places {
		inside := sel.To == 0 || p.UpTo >= sel.From && p.UpTo <= sel.To
		if inside && (sel.Figure == nil || slices.Contains(p.Touches, *sel.Figure)) {
			out = append(out, p)
		}
	}
	if sel.Most > 0 && len(out) > sel.Most {
		slices.SortStableFunc(out, func(a, b Place) int { return cmp.Compare(math.Abs(b.size), math.Abs(a.size)) })
		out = out[:sel.Most]
		slices.SortFunc(out, func(a, b Place) int { return cmp.Compare(a.UpTo, b.UpTo) })
	}
	return out, nil
}

// search finds the causes of one break.
type search struct {
	w     *work
	scan  *scan
	meter *meter
	i     int // between i and i+1
	place Place

	before, after *exact.Values
	pins          exact.Pins // steps held as they were, at i+1
	order         []int      // the steps held, in the order of the graph
	held          map[graph.ID]bool
	latest        *exact.Values // at i+1 with the pins
	all           []int         // what steps with nothing held
	out           Break
}

// run holds one step after another as it was, arguments before results, until
// nothing steps any more.
func (s *search) run() (Break, error) {
	s.out = Break{UpTo: s.place.UpTo, From: s.place.UpTo + 1, Touches: s.place.Touches}
	s.pins, s.held = exact.Pins{}, map[graph.ID]bool{}
	var err error
	if s.before, err = s.w.at(s.out.UpTo, nil); err != nil {
		return Break{}, err
	}
	if s.after, err = s.w.at(s.out.From, nil); err != nil {
		return Break{}, err
	}
	s.latest = s.after
	s.all = s.found()
	for next := s.all; len(next) > 0; next, _ = s.stepping() {
		if err := s.cause(next[0]); err != nil {
			return Break{}, err
		}
	}
	if err := s.withoutCause(); err != nil {
		return Break{}, err
	}
	s.figures()
	for _, i := range s.all {
		if !s.held[s.w.steps[i].node] {
			s.out.Follows = append(s.out.Follows, s.step(i))
		}
	}
	s.out.Effect, err = s.meter.beyond(s.after, s.latest)
	return s.out, err
}

// withoutCause names what was held where none of it makes a difference: figures
// bend here and do not step, as where a need grows into the break price that was
// ordered up to before.
func (s *search) withoutCause() error {
	if len(s.out.Causes) > 0 {
		return nil
	}
	for _, i := range s.order {
		bend, err := s.step(i), error(nil)
		if bend.Effect, err = s.meter.beyond(s.latest, s.latest); err != nil {
			return err
		}
		s.out.Causes = append(s.out.Causes, bend)
	}
	return nil
}

func (s *search) figures() {
	for _, id := range s.w.request.Figures {
		before, _ := s.before.Raw(id)
		after, _ := s.after.Raw(id)
		s.out.Before, s.out.After = append(s.out.Before, before), append(s.out.After, after)
	}
}

// stepping parts what steps with what is held so far into what steps anyway, and
// what only does so, or only matters, because of what is held.
func (s *search) stepping() (own, induced []int) {
	for _, i := range s.found() {
		if slices.Contains(s.all, i) {
			own = append(own, i)
		} else {
			induced = append(induced, i)
		}
	}
	return own, induced
}

// found lists the steps, in the order of the graph, that the figures follow from i
// to i+1 with what is held so far.
func (s *search) found() []int {
	v := &visit{s: s, seen: make([]bool, s.w.g.Len())}
	for _, id := range s.w.drawn() {
		v.figure(id)
	}
	slices.Sort(v.found)
	return v.found
}

// cause holds a step as it was, with everything that only steps because of that:
// a count held too small must not be made up for by another step. It is a cause if
// that makes a difference, at i+1 or, where it stays so, at i+2.
func (s *search) cause(i int) error {
	free := s.latest
	if err := s.hold(i); err != nil {
		return err
	}
	for _, induced := s.stepping(); len(induced) > 0; _, induced = s.stepping() {
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
	if cause.Effect, err = s.meter.beyond(free, s.latest); err != nil {
		return err
	}
	s.out.Causes = append(s.out.Causes, cause)
	return nil
}

// hold evaluates with a step as it was. Choices held before that may rest on it
// take what their old arm is then.
func (s *search) hold(i int) error {
	at, _ := slices.BinarySearch(s.order, i)
	s.order = slices.Insert(s.order, at, i)
	s.held[s.w.steps[i].node] = true
	for _, k := range s.order[at+1:] {
		if s.w.steps[k].choices != nil {
			delete(s.pins, s.w.steps[k].node)
		}
	}
	v := s.latest
	for n, k := range s.order[at:] {
		if n > 0 && s.w.steps[k].choices == nil {
			continue
		}
		pin, ok := s.asBefore(k, v)
		if !ok {
			continue
		}
		s.pins[s.w.steps[k].node] = pin
		var err error
		if v, err = s.w.at(s.out.From, s.pins); err != nil {
			return err
		}
	}
	s.latest = v
	return nil
}

func (s *search) differ(a, b *exact.Values) bool {
	return slices.ContainsFunc(s.w.drawn(), func(id graph.ID) bool { return !a.Same(b, id) })
}

// asBefore is the value a step would have in an evaluation were it still as it
// was at i.
func (s *search) asBefore(i int, in *exact.Values) (decimal.Decimal, bool) {
	st := &s.w.steps[i]
	return st.as(s.scan.states[i][s.i], in, s.before)
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

// differsLater asks the same one quantity on, for a step that has stayed so, with
// what turns in between as it was.
func (s *search) differsLater(i int) (bool, error) {
	states := s.scan.states[i]
	if s.i+2 >= s.scan.all || states[s.i+1] != states[s.i+2] {
		return false, nil
	}
	differs, err := s.differsAt(s.out.From+1, i)
	if s.out.From+1 > s.w.request.To {
		return differs, nil // what lies behind the range is of no concern
	}
	return differs, err
}

// differsAt asks whether a figure differs at a quantity, the one behind the break,
// with a step as it was at i.
func (s *search) differsAt(quantity int64, i int) (bool, error) {
	pins := exact.Pins{}
	free, err := s.w.at(quantity, pins)
	if err != nil {
		return false, err
	}
	for k, st := range s.w.steps {
		if !s.scan.breaks[k][s.i+1] {
			continue
		}
		if pin, ok := st.as(s.scan.states[k][s.i+1], free, s.after); ok {
			pins[st.node] = pin
			if free, err = s.w.at(quantity, pins); err != nil {
				return false, err
			}
		}
	}
	pin, ok := s.asBefore(i, free)
	if !ok {
		return false, nil
	}
	pins[s.w.steps[i].node] = pin
	held, err := s.w.at(quantity, pins)
	if err != nil {
		return false, err
	}
	return s.differ(free, held), nil
}

// step describes a step from i to i+1.
func (s *search) step(i int) Step {
	st := &s.w.steps[i]
	out := Step{Name: s.w.name(st.node), Was: raw(s.before, st.node), Is: raw(s.after, st.node)}
	out.Took, out.Takes = s.choice(i, s.before, s.i), s.choice(i, s.after, s.i+1)
	return out
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
	st := &s.w.steps[i]
	id, ok := st.taken(s.scan.states[i][at])
	if n := s.w.g.Node(st.node); n.Op == graph.Least {
		if index, has := v.Raw(st.node); has {
			id, ok = n.Args[index.IntPart()-1], true
		}
	}
	if !ok {
		return nil
	}
	name := s.w.name(id)
	return &name
}
