package api

import (
	"context"
	"errors"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/answer/study"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
)

// defaultMost is how many things a comparison lists by themselves.
const defaultMost = 12

// ComparisonRequest asks why the figure of one side differs from that of another.
type ComparisonRequest struct {
	Before ComparisonSide `book:"before,required"`
	After  ComparisonSide `book:"after,required"`
	Most   *int           `book:"most,min=0,max=1000"` // things listed by themselves, 0 for all; 12 if absent
}

// ComparisonSide is a batch, or a quote: as it was issued, or what it asks for
// computed today.
type ComparisonSide struct {
	Day      bom.Date           `book:"day"`
	Mix      []estimate.MixLine `book:"mix"`
	Changes  []change.Change    `book:"changes"`
	Quote    string             `book:"quote"` // its number
	Revision int                `book:"revision,min=0"`
	Today    bool               `book:"today"`
	Figure   string             `book:"figure"` // key; the full cost of the first variant if absent
}

// StatelessComparison is a book with two of its batches to compare.
type StatelessComparison struct {
	Book    book.Book         `book:"book,required"`
	Request ComparisonRequest `book:"request,required"`
}

func (a *API) comparisonRoutes() {
	ask := figureRoute[ComparisonRequest, study.Difference](a, "/comparisons", "comparison", "Why two figures differ, line by line and input by input")
	ask.figure = false // quotes are no part of the book
	ask.about = "A side is a batch of the book, a quote as it was issued, or what a quote asks for computed today."
	add(a, ask, reading(a.comparison))
	addStateless[study.Difference](a, "/stateless/comparison", "stateless-comparison", "Why two figures of the book sent along differ", a.statelessComparison)
}

func (a *API) comparison(ctx context.Context, c *call, in ComparisonRequest) (*reply, error) {
	if err := in.check(""); err != nil {
		return nil, err
	}
	out, err := placed(ctx, a, func() (study.Difference, error) {
		out, _, err := a.service.Difference(ctx, a.differenceRequest(in))
		return out, err
	})
	if err != nil {
		return nil, err
	}
	return c.hashed(out)
}

func (a *API) statelessComparison(ctx context.Context, c *call, in StatelessComparison) (*reply, error) {
	a.dayIn(&in.Book, &in.Request.Before.Day)
	a.dayIn(&in.Book, &in.Request.After.Day)
	if err := in.Request.check("/request"); err != nil {
		return nil, err
	}
	return stateless(a, ctx, c, &in.Book, func() (study.Difference, error) {
		return study.Between(ctx, change.OriginOf(answer.Of(&in.Book)), a.differenceRequest(in.Request), nil)
	})
}

// check keeps what is asked for within bounds; at is the place of the request.
func (in ComparisonRequest) check(at string) error {
	return errors.Join(in.Before.check(at+"/before"), in.After.check(at+"/after"))
}

func (in ComparisonSide) check(at string) error {
	var f faults
	if len(in.Changes) > maxChanges {
		f.add(at+"/changes", "%d changes; at most %d are made at once", len(in.Changes), maxChanges)
	}
	return errors.Join(checkMix(in.Mix, at+"/mix"), f.err("more is asked for than is computed at once"))
}

func (a *API) differenceRequest(in ComparisonRequest) study.DifferenceRequest {
	out := study.DifferenceRequest{Before: a.differenceSide(in.Before), After: a.differenceSide(in.After), Most: defaultMost}
	if in.Most != nil {
		out.Most = *in.Most
	}
	return out
}

func (a *API) differenceSide(in ComparisonSide) study.DifferenceSide {
	return study.DifferenceSide{Batch: change.Batch{Mix: in.Mix, Day: a.dayOr(in.Day), Changes: in.Changes},
		Quote: in.Quote, Revision: in.Revision, Today: in.Today, Figure: in.Figure}
}
