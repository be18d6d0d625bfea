package compare

import (
	"cmp"
	"slices"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// pairedLine is a line of the result with its node on the side before, None where
// it is missing, and the names of its kind and thing that both sides share.
type pairedLine struct {
	Line
	was         graph.ID
	kind, thing string
}

// lines pairs the lines of both sides: within a kind, those of the side before in
// order, then those that only the side after has.
func (c *comparison) lines() []pairedLine {
	partner, known := map[lineKey]*line{}, map[lineKey]bool{}
	for i := range c.after.lines {
		partner[c.after.lines[i].key] = &c.after.lines[i]
	}
	var out []pairedLine
	for i := range c.before.lines {
		l := &c.before.lines[i]
		known[l.key] = true
		out = append(out, c.paired(l, partner[l.key]))
	}
	for i := range c.after.lines {
		if l := &c.after.lines[i]; !known[l.key] {
			out = append(out, c.paired(nil, l))
		}
	}
	// The lines of one kind, and those of one thing, have one name, that of the side
	// after where it has one, and the lines of a kind stand together.
	kinds, things, order := map[string]Name{}, map[string]Name{}, map[string]int{}
	for _, l := range out {
		if _, met := kinds[l.kind]; !met || l.After != nil {
			kinds[l.kind] = l.Kind
		}
		if _, met := things[l.thing]; !met || l.After != nil {
			things[l.thing] = l.Thing
		}
	}
	for i := range out {
		l := &out[i]
		l.Kind, l.Thing = kinds[l.kind], things[l.thing]
		if _, met := order[l.Kind.Key]; !met {
			order[l.Kind.Key] = len(order)
		}
	}
	slices.SortStableFunc(out, func(a, b pairedLine) int { return cmp.Compare(order[a.Kind.Key], order[b.Kind.Key]) })
	return out
}

// paired makes a line of one side's and its partner; one of them may be nil. A
// line whose figures differ by nothing but their last digits stays.
func (c *comparison) paired(was, is *line) pairedLine {
	out := pairedLine{was: graph.None}
	before, after := decimal.Zero, decimal.Zero
	if was != nil {
		out.describe(c.before, was)
		out.was, before, out.Before = was.node, was.value, &was.value
	}
	if is != nil {
		out.describe(c.after, is)
		after, out.After = is.value, &is.value
	}
	out.Share = difference(before, after)
	switch {
	case was == nil:
		out.Change = Appears
	case is == nil:
		out.Change = Vanishes
	case negligible(out.Share, c.scale):
		out.Share = decimal.Zero
	default:
		out.Change = Changes
	}
	out.Alike = was != nil && is != nil && c.was[was.node] == c.is[is.node]
	return out
}

// describe gives a line the words of a side.
func (p *pairedLine) describe(s *side, l *line) {
	kind, leaf := s.g.Node(l.kind), s.g.Node(l.leaf)
	thing := thingOf(leaf.Key)
	p.Kind, p.Name = Name{kind.Key, kind.Of, kind.Label}, Name{leaf.Key, leaf.Of, leaf.Label}
	p.Thing = Name{Key: thing, Label: cmp.Or(s.things[thing], leaf.Of)}
	p.kind, p.thing = s.names.of(kind.Key), s.names.of(thing)
}
