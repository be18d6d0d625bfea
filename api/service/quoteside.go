package service

import (
	"cmp"
	"context"
	"fmt"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/ask/compare"
	"kerfbook/costing/papers/quote"
)

// Difference compares sides of the stored book and of stored quotes.
func (s *Service) Difference(ctx context.Context, req DifferenceRequest) (Difference, answer.Version, error) {
	o, err := s.origin(ctx)
	if err != nil {
		return Difference{}, "", err
	}
	out, err := o.difference(ctx, req, s.quoteSide)
	return out, o.Version, err
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
