package study

import (
	"cmp"
	"context"
	"errors"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/bom"
	"kerfbook/costing/ask/compare"
)

// DifferenceRequest asks why the figure of one side differs from that of another.
type DifferenceRequest struct {
	Before, After DifferenceSide
	// Most is how many things are listed by themselves, the others being pooled; 0
	// lists all.
	Most int
}

// DifferenceSide is a batch, or a quote.
type DifferenceSide struct {
	change.Batch
	Quote    string // its number; there is no mix then
	Revision int    // 0 for the newest
	Today    bool   // what the quote asks for, from the book and on the day of now
	Figure   string // key; empty means the full cost of the first variant
}

// SideFigures is a side that has been computed.
type SideFigures struct {
	compare.Side
	Shown SideAnswer
}

type quoteSides func(ctx context.Context, o change.Origin, side DifferenceSide) (*SideFigures, error)

// Between compares two sides. quotes finds those that are quotes; nil where none
// are kept. Faults have pointers into the request.
func Between(ctx context.Context, o change.Origin, req DifferenceRequest, quotes quoteSides) (Difference, error) {
	before, err := newSide(ctx, o, req.Before, quotes)
	if err != nil {
		return Difference{}, answer.PointedAt("/before", err)
	}
	after, err := newSide(ctx, o, req.After, quotes)
	if err != nil {
		return Difference{}, answer.PointedAt("/after", err)
	}
	r, err := compare.Between(ctx, before.Side, after.Side)
	if err != nil {
		return Difference{}, differenceFault(err)
	}
	out := Difference{Version: o.Version, Book: o.Book.Name, Before: before.Shown, After: after.Shown}
	return out, answer.Unexpected(out.read(r, req.Most, placesOf(o.Book)))
}

const noComparison = "the sides cannot be compared"

func badSide(pointer, format string, args ...any) error {
	return refused(noComparison, pointer, format, args...)
}

func newSide(ctx context.Context, o change.Origin, side DifferenceSide, quotes quoteSides) (*SideFigures, error) {
	switch {
	case (side.Quote == "") == (len(side.Mix) == 0):
		return nil, badSide("/mix", "name either a mix or a quote")
	case side.Quote != "" && len(side.Changes) > 0:
		return nil, badSide("/changes", "a quote does not change; compare it with a mix")
	case side.Quote == "" && (side.Today || side.Revision != 0):
		return nil, badSide("/quote", "name the quote")
	case side.Quote != "" && quotes == nil:
		return nil, badSide("/quote", "quotes are kept by a server, and none is asked here; name a mix")
	case side.Quote != "":
		return quotes(ctx, o, side)
	}
	c, err := o.Consider(ctx, side.Batch)
	if err != nil {
		return nil, err
	}
	first := c.Estimate.Variants[0]
	key := cmp.Or(side.Figure, c.Estimate.Graph.Node(first.Full).Key)
	if id, ok := c.Estimate.Graph.Find(key); ok {
		if err := answer.Complete(c.Estimate.Graph, c.Values, id); err != nil {
			return nil, err
		}
	}
	out := &SideFigures{Side: compare.Side{Graph: c.Estimate.Graph, Pins: c.Hold, Headline: key},
		Shown: SideAnswer{Day: side.Day, Mix: mixLines(c), Changes: c.Changes, Rebuilt: c.Rebuilt}}
	out.Shown.Words = batchWords(out.Shown.Mix, side.Day)
	if len(c.Changes) > 0 {
		out.Shown.Words += ", changed"
	}
	return out, out.Find()
}

// Find looks the figure up; the comparison reads its value.
func (s *SideFigures) Find() error {
	f := &answer.Finder{G: s.Graph, Refused: answer.Invalidf(noComparison)}
	id := f.Key("/figure", s.Headline)
	if err := f.Err(); err != nil {
		return err
	}
	n := s.Graph.Node(id)
	s.Shown.Figure = answer.Figure{Key: n.Key, Label: n.Label, Of: n.Of, Unit: n.Unit.String()}
	return nil
}

// batchWords names a batch: 250 glow, 100 plain on 2026-11-25.
func batchWords(mix []answer.MixLine, day bom.Date) string {
	var parts []string
	for _, l := range mix {
		parts = append(parts, l.Quantity.Value+" "+l.Trim)
	}
	return strings.Join(parts, ", ") + " on " + string(day)
}

// differenceFault words an error of the engine.
func differenceFault(err error) error {
	var figure *compare.FigureError
	var evaluate *compare.EvaluateError
	switch {
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return err
	case errors.As(err, &figure):
		return badSide("/"+figure.Side+"/figure", "%s", figure)
	case errors.As(err, &evaluate):
		return answer.PointedAt("/"+evaluate.Side, answer.Uncomputable(evaluate.Err))
	}
	return answer.Unexpected(err)
}
