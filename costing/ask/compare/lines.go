package compare

import (
	"cmp"
	"slices"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// pairedLine is a line of the result with its nodes on both sides, None where it
// is missing.
type pairedLine struct {
	Line
	was, is graph.ID
}

// lines pairs the lines of both sides: within a kind, those of the side before in
// order, then those that only the side after has.
func (c *comparison) lines() []pairedLine {
	partner := map[lineKey]*line{}
	for i := range c.after.lines {
		partner[c.after.lines[i].key] = &c.after.lines[i]
	}
	known, scale := map[lineKey]bool{}, c.scale()
	var out []pairedLine
	for i := range c.before.lines {
		l := &c.before.lines[i]
		known[l.key] = true
		out = append(out, c.paired(l, partner[l.key], scale))
	}
	for i := range c.after.lines {
		if l := &c.after.lines[i]; !known[l.key] {
			out = append(out, c.paired(nil, l, scale))
		}
	}
	c.unite(out)
	return out
}

// unite gives the lines of one kind, and those of one thing, the same name, that
// of the side after where it has one, and brings the lines of a kind together.
func (c *comparison) unite(lines []pairedLine) {
	kinds, things := map[string]Name{}, map[string]Name{}
	for i := range lines {
		l := &lines[i]
		shared, known := c.sharedNames(l)
		if _, met := kinds[shared.kind]; !met || known {
			kinds[shared.kind] = l.Kind
		}
		if _, met := things[shared.thing]; !met || known {
			things[shared.thing] = l.Thing
		}
	}
	order := map[string]int{}
	for i := range lines {
		l := &lines[i]
		shared, _ := c.sharedNames(l)
		l.Kind, l.Thing = kinds[shared.kind], things[shared.thing]
		if _, met := order[l.Kind.Key]; !met {
			order[l.Kind.Key] = len(order)
		}
	}
	slices.SortStableFunc(lines, func(a, b pairedLine) int { return cmp.Compare(order[a.Kind.Key], order[b.Kind.Key]) })
}

// sharedNames are the names of a line's kind and thing that both sides share;
// known says that the line is there on the side after.
func (c *comparison) sharedNames(l *pairedLine) (shared struct{ kind, thing string }, known bool) {
	side := c.before
	if known = l.is != graph.None; known {
		side = c.after
	}
	shared.kind, shared.thing = side.names.of(l.Kind.Key), side.names.of(l.Thing.Key)
	return shared, known
}

// paired makes a line of one side's and its partner; one of them may be nil. A
// line whose figures differ by nothing but their last digits stays.
func (c *comparison) paired(was, is *line, scale decimal.Decimal) pairedLine {
	out := pairedLine{was: graph.None, is: graph.None}
	before, after := decimal.Zero, decimal.Zero
	if was != nil {
		c.before.describe(&out.Line, was)
		out.was, before, out.Before = was.node, was.value, &was.value
	}
	if is != nil {
		c.after.describe(&out.Line, is)
		out.is, after, out.After = is.node, is.value, &is.value
	}
	out.Share = difference(before, after)
	switch {
	case was == nil:
		out.Change = Appears
	case is == nil:
		out.Change = Vanishes
	case negligible(out.Share, scale):
		out.Share = decimal.Zero
	default:
		out.Change = Changes
	}
	out.Alike = was != nil && is != nil && c.was[was.node] == c.is[is.node]
	return out
}

func (o *opened) describe(to *Line, l *line) {
	name := func(id graph.ID) Name {
		n := o.g.Node(id)
		return Name{n.Key, n.Of, n.Label}
	}
	to.Kind, to.Name = name(l.kind), name(l.leaf)
	thing := thingOf(to.Name.Key)
	to.Thing = Name{Key: thing, Label: cmp.Or(o.things[thing], to.Name.Of)}
}
