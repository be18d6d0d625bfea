package service

import (
	"context"
	"errors"
	"maps"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// Batch is a mix on a day, with some inputs at other values if there are changes.
type Batch struct {
	Mix     []estimate.MixLine
	Day     bom.Date
	Changes []Change
}

// origin is a book to be asked, with its records.
type origin struct {
	answer.Origin
	shelf func() (*shelf, error)
}

// originOf takes a book sent along. It is only put on a shelf where a change asks
// for it.
func originOf(b *book.Book) origin {
	return origin{answer.Of(b), func() (*shelf, error) {
		drafts, err := split(b, nil)
		if err != nil {
			return nil, err
		}
		return (&shelf{}).with(drafts), nil
	}}
}

// considered is an evaluated batch with what is held in it: its quantities and
// its changed inputs.
type considered struct {
	*answer.Evaluated
	hold    exact.Pins
	changes []ChangedFigure
	rebuilt bool // see WhatIf
	// fixed are ranges that a change gave one value.
	fixed []graph.ID
}

// consider evaluates a batch with its changes made. Faults of the changes have
// pointers below /changes.
func (o origin) consider(ctx context.Context, b Batch) (*considered, error) {
	if err := b.wholePieces(); err != nil {
		return nil, err
	}
	before, err := o.Evaluate(ctx, b.Mix, b.Day)
	if err != nil {
		return nil, err
	}
	if len(b.Changes) == 0 {
		return &considered{Evaluated: before, hold: before.Quantities(b.Mix)}, nil
	}
	held, err := o.shelf()
	if err != nil {
		return nil, err
	}
	out, err := held.consider(before, b)
	return out, pointedAt("/changes", err)
}

// wholePieces refuses a mix with a part of a piece.
func (b Batch) wholePieces() error {
	f := &finder{bad: answer.Invalidf("the batch cannot be made")}
	for i, l := range b.Mix {
		if err := answer.WholePieces(l.Quantity.Likely); err != nil {
			f.add(indexed("/mix", i)+"/quantity", "%s", err)
		}
	}
	return f.err()
}

func (s *shelf) consider(before *answer.Evaluated, b Batch) (*considered, error) {
	edits, err := s.edits(b.Changes, []*graph.Graph{before.Estimate.Graph})
	if err != nil {
		return nil, err
	}
	drafts, err := s.drafts(edits)
	if err != nil {
		return nil, err
	}
	after, rebuilt, err := changed(before, s, b.Mix, edits, drafts)
	if err != nil {
		return nil, err
	}
	out := &considered{Evaluated: after, rebuilt: rebuilt, hold: after.Quantities(withQuantities(before, b.Mix, edits))}
	maps.Copy(out.hold, asChanged(after, edits))
	out.fixed = fixedRanges(after, before.Estimate.Graph, out.hold)
	for _, e := range edits {
		out.changes = append(out.changes, e.figures(before, after))
	}
	return out, nil
}

// asChanged holds changed inputs at their new values, so that a range whose value
// is given is a range no more. With them go the other inputs from the same field
// of the book.
func asChanged(e *answer.Evaluated, edits []edit) exact.Pins {
	pins := exact.Pins{}
	for id := range graph.ID(e.Estimate.Graph.Len()) {
		n := e.Estimate.Graph.Node(id)
		for _, ed := range edits {
			same := n.Key == ed.Key || ed.inBook() && n.Source.Path == ed.node.Source.Path
			if v, ok := e.Values.Raw(id); ok && n.Kind == graph.Input && same {
				pins[id] = v
			}
		}
	}
	return pins
}

// fixedRanges lists what is held and was a range before.
func fixedRanges(e *answer.Evaluated, before *graph.Graph, held exact.Pins) []graph.ID {
	var out []graph.ID
	for id := range graph.ID(before.Len()) {
		n := before.Node(id)
		if n.Op != graph.Range || !n.Low.LessThan(n.High) {
			continue
		}
		if now, ok := e.Estimate.Graph.Find(n.Key); ok {
			if _, is := held[now]; is {
				out = append(out, now)
			}
		}
	}
	return out
}

// pointedAt puts the faults of a part of what was sent under the pointer of that
// part, and their paths where these say the same. Faults of the book have no
// pointer and stay.
func pointedAt(pointer string, err error) error {
	var known *answer.Error
	if !errors.As(err, &known) {
		return err
	}
	moved := *known
	moved.Fields = make([]answer.FieldError, len(known.Fields))
	for i, f := range known.Fields {
		if f.Pointer != "" {
			if f.Path == pathOf(f.Pointer) {
				f.Path = pathOf(pointer + f.Pointer)
			}
			f.Pointer = pointer + f.Pointer
		}
		moved.Fields[i] = f
	}
	return &moved
}
