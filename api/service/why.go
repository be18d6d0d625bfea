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
	"kerfbook/costing/papers/quote"
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

// Difference compares sides of the stored book and of stored quotes.
func (s *Service) Difference(ctx context.Context, req DifferenceRequest) (Difference, answer.Version, error) {
	o, err := s.origin(ctx)
	if err != nil {
		return Difference{}, "", err
	}
	out, err := o.difference(ctx, req, s.quoteSide)
	return out, o.Version, err
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

// todayValid is how long a quote would be valid that is computed only to be
// compared.
const todayValid = 30

// quoteSide opens a quote, or computes what it asks for from the book as it is.
func (s *Service) quoteSide(ctx context.Context, o origin, side DifferenceSide) (*sided, error) {
	kept, err := s.Quote(ctx, side.Quote, side.Revision)
	if err != nil {
		return nil, err
	}
	d := kept.Document
	if side.Today {
		req := d.Inputs.Request
		req.ValidDays, req.ValidUntil = todayValid, ""
		if d, err = quote.Build(o.Book, req, s.Today()); err != nil {
			return nil, unquotable(err)
		}
	}
	g, _, err := d.Computed()
	if err != nil {
		return nil, answer.Unexpected(err)
	}
	out := &sided{Side: compare.Side{Graph: g, Headline: cmp.Or(side.Figure, "variant/"+d.Inputs.Mix[0].Trim+"/each/full")},
		shown: SideShown{Day: d.Inputs.Day, Quote: side.Quote, Revision: kept.Revision, Today: side.Today}}
	for _, l := range d.Inputs.Mix {
		line := answer.MixLine{Product: bom.ID(l.Product), Trim: l.Trim}
		if id, ok := g.Find("mix/" + l.Trim); ok {
			n := g.Node(id)
			line.Quantity = answer.Figure{Key: n.Key, Label: n.Label, Value: l.Quantity, Unit: n.Unit.String()}
		}
		out.shown.Mix = append(out.shown.Mix, line)
	}
	out.shown.Words = fmt.Sprintf("quote %s revision %d of %s", side.Quote, kept.Revision, kept.IssuedOn)
	if side.Today {
		out.shown.Words = fmt.Sprintf("what quote %s revision %d asks for, on %s", side.Quote, kept.Revision, d.Inputs.Day)
	}
	return out, out.find()
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
