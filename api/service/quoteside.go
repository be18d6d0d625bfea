package service

import (
	"cmp"
	"context"
	"fmt"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/answer/study"
	"kerfbook/bom"
	"kerfbook/costing/ask/compare"
	"kerfbook/costing/papers/quote"
)

// Difference compares sides of the stored book and of stored quotes.
func (s *Service) Difference(ctx context.Context, req study.DifferenceRequest) (study.Difference, answer.Version, error) {
	o, err := s.origin(ctx)
	if err != nil {
		return study.Difference{}, "", err
	}
	out, err := study.Between(ctx, o, req, s.quoteSide)
	return out, o.Version, err
}

// todayValid is how long a quote would be valid that is computed only to be
// compared.
const todayValid = 30

// quoteSide opens a quote, or computes what it asks for from the book as it is.
func (s *Service) quoteSide(ctx context.Context, o change.Origin, side study.DifferenceSide) (*study.Sided, error) {
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
	out := &study.Sided{Side: compare.Side{Graph: g, Headline: cmp.Or(side.Figure, "variant/"+d.Inputs.Mix[0].Trim+"/each/full")},
		Shown: study.SideShown{Day: d.Inputs.Day, Quote: side.Quote, Revision: kept.Revision, Today: side.Today}}
	for _, l := range d.Inputs.Mix {
		line := answer.MixLine{Product: bom.ID(l.Product), Trim: l.Trim}
		if id, ok := g.Find("mix/" + l.Trim); ok {
			n := g.Node(id)
			line.Quantity = answer.Figure{Key: n.Key, Label: n.Label, Value: l.Quantity, Unit: n.Unit.String()}
		}
		out.Shown.Mix = append(out.Shown.Mix, line)
	}
	out.Shown.Words = fmt.Sprintf("quote %s revision %d of %s", side.Quote, kept.Revision, kept.IssuedOn)
	if side.Today {
		out.Shown.Words = fmt.Sprintf("what quote %s revision %d asks for, on %s", side.Quote, kept.Revision, d.Inputs.Day)
	}
	return out, out.Find()
}
