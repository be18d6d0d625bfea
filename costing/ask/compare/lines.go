package compare

import (
	"cmp"
	"slices"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// lines pairs the lines of both sides, whose shares add up to the difference. The
// lines of a kind stand together: those of the side before in order, then those that
// only the side after has.
func (c *comparison) lines(whole decimal.Decimal) ([]Line, error) {
	pairs, keys := map[lineKey]*[2]*line{}, []lineKey{}
	// The lines of one kind, and those of one thing, have one name, that of the side
	// after where it has one.
	kinds, things := map[string]Name{}, map[string]Name{}
	for i, s := range []*side{c.before, c.after} {
		for j := range s.lines {
			l := &s.lines[j]
			if pairs[l.key] == nil {
				pairs[l.key], keys = &[2]*line{}, append(keys, l.key)
			}
			pairs[l.key][i] = l
			kinds[l.key.kind], things[l.ofThing] = l.kind, l.thing
		}
	}
	var out []Line
	var shares []decimal.Decimal
	order := map[string]int{} // of the kinds
	for _, key := range keys {
		l := c.paired(pairs[key][0], pairs[key][1])
		l.Kind, l.Thing = kinds[key.kind], things[cmp.Or(pairs[key][1], pairs[key][0]).ofThing]
		if _, met := order[l.Kind.Key]; !met {
			order[l.Kind.Key] = len(order)
		}
		out = append(out, l)
	}
	slices.SortStableFunc(out, func(a, b Line) int { return cmp.Compare(order[a.Kind.Key], order[b.Kind.Key]) })
	for _, l := range out {
		shares = append(shares, l.Share)
	}
	err := addUp("the headline by lines", shares, whole, c.scale, lineDigits)
	for i := range out {
		out[i].Share = shares[i]
	}
	return out, err
}

// paired makes a line of one side's and its partner; one of them may be nil. A
// line whose figures differ by nothing but their last digits stays.
func (c *comparison) paired(was, is *line) Line {
	out := Line{Name: cmp.Or(is, was).name, Change: Changes, was: graph.None}
	before, after := decimal.Zero, decimal.Zero
	if was != nil {
		before, out.Before, out.was = was.value, &was.value, was.node
	}
	if is != nil {
		after, out.After = is.value, &is.value
	}
	out.Share = difference(before, after)
	switch {
	case was == nil:
		out.Change = Appears
	case is == nil:
		out.Change = Vanishes
	default:
		out.Alike = c.before.classes[was.node] == c.after.classes[is.node]
		if negligible(out.Share, c.scale) {
			out.Change, out.Share = Stays, decimal.Zero
		}
	}
	return out
}
