package change

import (
	"context"
	"maps"

	"kerfbook/api/answer"
	"kerfbook/bom"
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

// Origin is a book to be asked, with its records.
type Origin struct {
	answer.Origin
	Shelf func() (*Shelf, error)
}

// OriginOf takes a book sent along. It is only put on a shelf where a change asks
// for it.
func OriginOf(o answer.Origin) Origin {
	return Origin{o, func() (*Shelf, error) { return ShelfOf(o.Book, nil) }}
}

// Trial is an evaluated batch with what is held in it: its quantities and
// its changed inputs.
type Trial struct {
	*answer.Evaluation
	Hold    exact.Pins
	Changes []ChangedFigure
	Rebuilt bool // see WhatIf
	// fixed are ranges that a change gave one value.
	Fixed []graph.ID
}

// Consider evaluates a batch with its changes made. Faults of the changes have
// pointers below /changes.
func (o Origin) Consider(ctx context.Context, b Batch) (*Trial, error) {
	if err := b.wholePieces(); err != nil {
		return nil, err
	}
	before, err := o.Evaluate(ctx, b.Mix, b.Day)
	if err != nil {
		return nil, err
	}
	if len(b.Changes) == 0 {
		out := &Trial{Evaluation: before, Hold: before.Quantities(b.Mix)}
		maps.Copy(out.Hold, answer.Drawn(before.Estimate.Graph, before.Values))
		return out, nil
	}
	held, err := o.Shelf()
	if err != nil {
		return nil, err
	}
	out, err := held.consider(ctx, before, b)
	return out, answer.PointedAt("/changes", err)
}

// wholePieces refuses a mix with a part of a piece.
func (b Batch) wholePieces() error {
	f := &answer.Finder{Refused: answer.Invalidf("the batch cannot be made")}
	for i, l := range b.Mix {
		if err := answer.WholePieces(l.Quantity.Likely); err != nil {
			f.Add(answer.Indexed("/mix", i)+"/quantity", "%s", err)
		}
	}
	return f.Err()
}

func (s *Shelf) consider(ctx context.Context, before *answer.Evaluation, b Batch) (*Trial, error) {
	edits, err := s.edits(b.Changes, []*graph.Graph{before.Estimate.Graph})
	if err != nil {
		return nil, err
	}
	drafts, err := s.drafts(edits)
	if err != nil {
		return nil, err
	}
	after, rebuilt, err := changed(ctx, before, s, b.Mix, edits, drafts)
	if err != nil {
		return nil, err
	}
	out := &Trial{Evaluation: after, Rebuilt: rebuilt, Hold: after.Quantities(withQuantities(before, b.Mix, edits))}
	maps.Copy(out.Hold, asChanged(after, edits))
	maps.Copy(out.Hold, answer.Drawn(after.Estimate.Graph, after.Values))
	out.Fixed = fixedRanges(after, before.Estimate.Graph, out.Hold)
	for _, e := range edits {
		out.Changes = append(out.Changes, e.figures(before, after))
	}
	return out, nil
}

// asChanged holds changed inputs at their new values, so that a range whose value
// is given is a range no more.
func asChanged(e *answer.Evaluation, edits []edit) exact.Pins {
	pins := exact.Pins{}
	for _, ed := range edits {
		id, found := e.Estimate.Graph.Find(ed.Key)
		if !found || e.Estimate.Graph.Node(id).Kind != graph.Input {
			continue
		}
		if v, ok := e.Values.Raw(id); ok {
			pins[id] = v
		}
	}
	return pins
}

// fixedRanges lists what is held and was a range before.
func fixedRanges(e *answer.Evaluation, before *graph.Graph, held exact.Pins) []graph.ID {
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
