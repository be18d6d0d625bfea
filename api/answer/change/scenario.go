package change

import (
	"context"
	"errors"
	"strconv"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book/record"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
)

// Proposed is a change as a scenario keeps it, with what it was to replace.
type Proposed struct {
	Change
	Label string `json:"label"`
	Of    string `json:"of,omitempty"`
	Was   string `json:"was"`             // the text that stood there; empty for nothing
	Place string `json:"place,omitempty"` // of the record, as the key of a field; empty for what is no part of the book
	Entry string `json:"entry,omitempty"` // of the lists that the place leads into
}

// Lapsed is a change of a scenario that applies no longer.
type Lapsed struct {
	Change Proposed `json:"change"`
	Why    string   `json:"why"`
}

// Propose notes of changes in a batch what they are to replace.
func (o Origin) Propose(ctx context.Context, mix []estimate.MixLine, day bom.Date, changes []Change) ([]Proposed, error) {
	held, _, edits, err := o.found(ctx, mix, day, changes)
	if err != nil {
		return nil, err
	}
	if _, err := held.drafts(edits); err != nil {
		return nil, err
	}
	out := make([]Proposed, len(edits))
	for i, e := range edits {
		out[i] = held.proposed(e)
	}
	return out, nil
}

// proposed is an edit with what it replaces.
func (s *Shelf) proposed(e edit) Proposed {
	out := Proposed{Change: Change{Key: e.Key, Value: strings.TrimSpace(e.Value)}, Label: e.node.Label, Of: e.node.Of, Was: e.was}
	if !e.field {
		out.Was = e.node.Value.String()
	}
	if e.inBook() {
		held, _ := s.Find(e.kind.Name, e.id)
		out.Place, out.Entry = strings.TrimSuffix(fieldPrefix+e.kind.Name+"/"+e.id+"/"+e.rest, "/"), record.Entry(held.value, e.rest)
	}
	return out
}

// Standing parts the changes of a scenario into those that still apply to a batch and
// those that do not, with why.
func (o Origin) Standing(ctx context.Context, mix []estimate.MixLine, day bom.Date, scenario []Proposed) (stands []Change, lapsed []Lapsed, err error) {
	held, err := o.Shelf()
	if err != nil {
		return nil, nil, err
	}
	before, err := o.Evaluate(ctx, mix, day)
	if err != nil {
		return nil, nil, err
	}
	var left []Proposed
	for _, p := range scenario {
		c, why := held.applies(p, before.Estimate.Graph)
		if why != "" {
			lapsed = append(lapsed, Lapsed{p, why})
			continue
		}
		stands, left = append(stands, c), append(left, p)
	}
	for len(stands) > 0 {
		at, why, err := held.refused(stands, before.Estimate.Graph)
		if err != nil {
			return nil, nil, err
		}
		if why == "" {
			break
		}
		lapsed = append(lapsed, Lapsed{left[at], why})
		stands, left = append(stands[:at:at], stands[at+1:]...), append(left[:at:at], left[at+1:]...)
	}
	return stands, lapsed, nil
}

// applies gives a change of a scenario as it is made now, or why it is not: what it was
// to replace is another thing.
func (s *Shelf) applies(p Proposed, g *graph.Graph) (c Change, why string) {
	c = p.Change
	if _, there := g.Find(c.Key); !there && p.Place != "" {
		c.Key = p.Place // the batch has no such figure, or another key for it
	}
	e, fault := s.edit(0, c, []*graph.Graph{g})
	if fault != nil {
		return c, fault.Message
	}
	now := s.proposed(e)
	switch {
	case now.Entry != p.Entry:
		return c, "its place is taken by " + orNothing(now.Entry) + "; it was written for " + p.Entry
	case sameText(now.Was, p.Was):
		return c, ""
	case sameText(now.Was, now.Value):
		return c, "the book says so already"
	}
	return c, "the book says " + orNothing(now.Was) + " by now; it was written when that was " + orNothing(p.Was)
}

// sameText compares what was typed; 27.5 is 27.50.
func sameText(a, b string) bool {
	x, notX := bom.ParseDecimal(a)
	y, notY := bom.ParseDecimal(b)
	return a == b || notX == nil && notY == nil && x.Equal(y)
}

// orNothing puts a text in words where it may be empty.
func orNothing(said string) string {
	if said == "" {
		return "nothing"
	}
	return said
}

// refused finds the first of several changes that the book does not take any more.
func (s *Shelf) refused(changes []Change, g *graph.Graph) (at int, why string, err error) {
	edits, err := s.edits(changes, []*graph.Graph{g})
	if err == nil {
		_, err = s.drafts(edits)
	}
	var known *answer.Error
	if !errors.As(err, &known) || known.Code != answer.Invalid {
		return 0, "", err
	}
	for _, f := range known.Fields {
		number, _, _ := strings.Cut(strings.TrimPrefix(f.Pointer, "/"), "/")
		if at, bad := strconv.Atoi(number); bad == nil && at < len(changes) {
			return at, f.Message, nil
		}
	}
	return len(changes) - 1, err.Error(), nil // nobody's fault: those that remain may stand without the last
}

// WhatIfOf gives a batch before and after a scenario, as far as it still applies.
func (o Origin) WhatIfOf(ctx context.Context, mix []estimate.MixLine, day bom.Date, scenario []Proposed) (WhatIf, error) {
	stands, lapsed, err := o.Standing(ctx, mix, day, scenario)
	if err != nil {
		return WhatIf{}, err
	}
	out, err := o.whatIf(ctx, mix, day, stands)
	out.Lapsed = lapsed
	return out, err
}
