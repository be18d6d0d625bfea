package service

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/ask/compare"
	"kerfbook/costing/book"
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
	Batch
	Quote    string // its number; there is no mix then
	Revision int    // 0 for the newest
	Today    bool   // what the quote asks for, from the book and on the day of now
	Figure   string // key; empty means the full cost of the first variant
}

// DifferenceOf compares sides of a book sent along. Faults have pointers into the
// request.
func DifferenceOf(ctx context.Context, b *book.Book, req DifferenceRequest) (Difference, error) {
	return originOf(b).difference(ctx, req, func(context.Context, origin, DifferenceSide) (*sided, error) {
		return nil, badSide("/quote", "quotes are kept by a server, and none is asked here; name a mix")
	})
}

// sided is a side that has been computed.
type sided struct {
	compare.Side
	shown SideShown
}

type quoteSides func(ctx context.Context, o origin, side DifferenceSide) (*sided, error)

func (o origin) difference(ctx context.Context, req DifferenceRequest, quotes quoteSides) (Difference, error) {
	before, err := o.side(ctx, req.Before, quotes)
	if err != nil {
		return Difference{}, pointedAt("/before", err)
	}
	after, err := o.side(ctx, req.After, quotes)
	if err != nil {
		return Difference{}, pointedAt("/after", err)
	}
	r, err := compare.Between(ctx, before.Side, after.Side, compare.Options{})
	if err != nil {
		return Difference{}, differenceFault(err)
	}
	out := Difference{Version: o.Version, Book: o.Book.Name, Before: before.shown, After: after.shown}
	return out, answer.Unexpected(out.read(r, req.Most))
}

func badSide(pointer, format string, args ...any) error {
	return &answer.Error{Code: answer.Invalid, Message: "the sides cannot be compared",
		Fields: []answer.FieldError{{Path: pathOf(pointer), Pointer: pointer, Message: fmt.Sprintf(format, args...)}}}
}

func (o origin) side(ctx context.Context, side DifferenceSide, quotes quoteSides) (*sided, error) {
	switch {
	case (side.Quote == "") == (len(side.Mix) == 0):
		return nil, badSide("/mix", "name either a mix or a quote")
	case side.Quote != "" && len(side.Changes) > 0:
		return nil, badSide("/changes", "a quote does not change; compare it with a mix")
	case side.Quote == "" && (side.Today || side.Revision != 0):
		return nil, badSide("/quote", "name the quote")
	case side.Quote != "":
		return quotes(ctx, o, side)
	}
	c, err := o.consider(ctx, side.Batch)
	if err != nil {
		return nil, err
	}
	first := c.Estimate.Variants[0]
	key := cmp.Or(side.Figure, c.Estimate.Graph.Node(first.Full).Key)
	out := &sided{Side: compare.Side{Graph: c.Estimate.Graph, Pins: c.hold, Headline: key},
		shown: SideShown{Day: side.Day, Mix: c.mixLines(), Changes: c.changes, Rebuilt: c.rebuilt}}
	out.shown.Words = batchWords(out.shown.Mix, side.Day)
	if len(c.changes) > 0 {
		out.shown.Words += ", changed"
	}
	return out, out.find()
}

// find looks the figure up; the comparison reads its value.
func (s *sided) find() error {
	id, ok := s.Graph.Find(s.Headline)
	if !ok {
		return badSide("/figure", "%s", (&answer.UnknownKeyError{Key: bom.Shorten(s.Headline), Similar: answer.Similar(s.Graph, s.Headline)}).Error())
	}
	n := s.Graph.Node(id)
	s.shown.Figure = answer.Figure{Key: n.Key, Label: n.Label, Of: n.Of, Unit: n.Unit.String()}
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
	var missing *compare.MissingError
	var undefined *compare.UndefinedError
	var unit *compare.UnitError
	var evaluate *compare.EvaluateError
	switch {
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return err
	case errors.As(err, &missing):
		return badSide("/"+missing.Side+"/figure", "%s", missing)
	case errors.As(err, &undefined):
		return badSide("/"+undefined.Side+"/figure", "%s", undefined)
	case errors.As(err, &unit):
		return badSide("/after/figure", "%s", unit)
	case errors.As(err, &evaluate):
		return pointedAt("/"+evaluate.Side, answer.Uncomputable(evaluate.Err))
	}
	return answer.Unexpected(err)
}
