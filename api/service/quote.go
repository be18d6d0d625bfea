package service

import (
	"context"
	"slices"

	"kerfbook/api/answer"
	"kerfbook/api/service/promise"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/graph/proof"
	"kerfbook/costing/papers/quote"
)

// Today is the day it is in the shop, by the state of the book last read.
func (s *Service) Today() bom.Date {
	held := s.memory.shelves.Newest()
	if held == nil {
		held, _ = s.current(context.Background()) // without a book there is no zone either
	}
	if held == nil {
		return book.TimeZone("").Day(s.now())
	}
	return held.Book.TimeZone.Day(s.now())
}

// Shown is a quote as somebody may see it: who may not see cost sees neither the basis of
// its prices nor the margins that were asked.
func (a Actor) Shown(q promise.Quote) promise.Quote {
	if a.Scopes.Has(Read) || q.Document == nil {
		return q
	}
	d := *q.Document
	d.Inputs.Request.Lines = slices.Clone(d.Inputs.Request.Lines)
	for i := range d.Inputs.Request.Lines {
		d.Inputs.Request.Lines[i].Margin = ""
	}
	q.Document, q.Basis = &d, nil
	return q
}

// mayAsk refuses margins by whoever may not see cost: the price at none is the cost.
func (a Actor) mayAsk(req quote.Request) error {
	asks := func(l quote.RequestLine) bool { return l.Margin != "" }
	if a.Scopes.Has(Read) || !slices.ContainsFunc(req.Lines, asks) {
		return nil
	}
	return answer.Errorf(answer.Forbidden, "a line has a margin of its own, which is asked by whoever sees costs")
}

// PreviewQuote gives a quote as it would be issued today; nothing is written. It is
// the next revision of a quote, under the number it would have, or a new quote if
// number is empty. Its unverified rows are listed and need no confirmation yet.
func (s *Service) PreviewQuote(ctx context.Context, a Actor, number string, req quote.Request) (promise.Quote, error) {
	q, err := s.preview(ctx, a, number, req)
	return a.Shown(q), err
}

func (s *Service) preview(ctx context.Context, a Actor, number string, req quote.Request) (promise.Quote, error) {
	if err := a.mayAsk(req); err != nil {
		return promise.Quote{}, err
	}
	held, err := s.current(ctx)
	if err != nil {
		return promise.Quote{}, err
	}
	d, err := promise.Draft(held.Book, held.Version.Figures(), req, s.Today(), nil)
	if err != nil {
		return promise.Quote{}, err
	}
	if number == "" {
		return promise.Preview(d, held.Version.Figures(), nil)
	}
	last, err := s.Quote(ctx, number, 0)
	if err == nil {
		err = a.mayAsk(last.Inputs.Request) // a revision without it would have another price
	}
	if err != nil {
		return promise.Quote{}, err
	}
	return promise.Preview(d, held.Version.Figures(), &last)
}

// IssueQuote issues the next revision of a quote, or a quote under the next number
// of the year if number is empty. The error is Unverified where it rests on rows
// without a source that the request does not confirm, FiguresChanged where the
// figures that were seen are not those of now, and Conflict for a quote that was
// withdrawn or has changed since it was seen.
func (s *Service) IssueQuote(ctx context.Context, tx Tx, a Actor, number string, req quote.Request, seen ...promise.Seen) (promise.Quote, error) {
	if err := a.need(Quote); err != nil {
		return promise.Quote{}, err
	}
	if err := a.mayAsk(req); err != nil {
		return promise.Quote{}, err
	}
	if number != "" && !a.Scopes.Has(Read) {
		last, err := s.quoteIn(ctx, tx, number, 0)
		if err == nil {
			err = a.mayAsk(last.Inputs.Request)
		}
		if err != nil {
			return promise.Quote{}, err
		}
	}
	held, err := s.begun(ctx, tx)
	if err != nil {
		return promise.Quote{}, err
	}
	d, err := promise.Draft(held.Book, held.Version.Figures(), req, s.Today(), seen)
	if err != nil {
		return promise.Quote{}, err
	}
	if err := d.Issuable(); err != nil {
		return promise.Quote{}, promise.Unquotable(err)
	}
	if err := promise.Name(ctx, tx.Quotes(), d, number, seen, s.Today()); err != nil {
		return promise.Quote{}, err
	}
	q, err := promise.Storable(ctx, tx.Quotes(), d, s.clock(), a.Name)
	if err != nil {
		return promise.Quote{}, answer.Unexpected(err)
	}
	if err := tx.Quotes().Insert(ctx, q); err != nil {
		return promise.Quote{}, err
	}
	action := "issue quote"
	if number != "" {
		action = "revise quote"
	}
	e, err := s.logAt(ctx, tx, q.CreatedAt, a, action, q.Object(), "", q.ContentHash())
	if err != nil {
		return promise.Quote{}, err
	}
	a.change = e.Change
	if _, err := s.log(ctx, tx, a, action, q.StateObject(), "", q.StateHash()); err != nil {
		return promise.Quote{}, err
	}
	return q.Open(ctx, tx.Quotes(), q.Revision, s.Today())
}

// WithdrawQuote takes a quote back for good. The error is Conflict for one that
// cannot be withdrawn or has changed since it was seen.
func (s *Service) WithdrawQuote(ctx context.Context, tx Tx, a Actor, number string, seen ...promise.Seen) error {
	if err := a.need(Quote); err != nil {
		return err
	}
	q, err := tx.Quotes().Get(ctx, number, 0)
	if err != nil {
		return err
	}
	next, err := q.Withdrawn(seen, s.Today())
	if err != nil {
		return err
	}
	if err := tx.Quotes().SetState(ctx, number, next.State); err != nil {
		return err
	}
	_, err = s.log(ctx, tx, a, "withdraw quote", q.StateObject(), q.StateHash(), next.StateHash())
	return err
}

// Quotes lists quotes by their newest revisions, the newest number first. next
// is where the following page begins, empty at the end.
func (s *Service) Quotes(ctx context.Context, after string, limit int) (page []promise.QuoteHead, next string, err error) {
	limit = pageSize(limit)
	page = []promise.QuoteHead{}
	err = s.view(ctx, func(tx Tx) error {
		rows, err := tx.Quotes().Page(ctx, after, limit+1)
		if err != nil {
			return err
		}
		if len(rows) > limit {
			rows, next = rows[:limit], rows[limit-1].Number
		}
		for _, q := range rows {
			page = append(page, q.Head(s.Today()))
		}
		return nil
	})
	return page, next, answer.Unexpected(err)
}

// Quote gives a revision of a quote as it was issued, 0 for the newest. Nothing
// of it is computed again.
func (s *Service) Quote(ctx context.Context, number string, revision int) (q promise.Quote, err error) {
	err = s.view(ctx, func(tx Tx) error {
		q, err = s.quoteIn(ctx, tx, number, revision)
		return err
	})
	return q, err
}

// QuoteIn gives the newest revision as a transaction under way sees it.
func (s *Service) QuoteIn(ctx context.Context, tx Tx, number string) (promise.Quote, error) {
	return s.quoteIn(ctx, tx, number, 0)
}

func (s *Service) quoteIn(ctx context.Context, tx Tx, number string, revision int) (promise.Quote, error) {
	stored, err := tx.Quotes().Get(ctx, number, 0)
	if err != nil {
		return promise.Quote{}, err
	}
	latest := stored.Revision
	if revision != 0 && revision != latest {
		if stored, err = tx.Quotes().Get(ctx, number, revision); err != nil {
			return promise.Quote{}, err
		}
	}
	return stored.Open(ctx, tx.Quotes(), latest, s.Today())
}

// ExplainQuote gives the proof of a figure of a quote from what is stored with
// it, down to a depth; a negative depth opens everything.
func (s *Service) ExplainQuote(ctx context.Context, number string, revision int, key string, depth int) (proof.Step, error) {
	d, err := s.Quote(ctx, number, revision)
	if err != nil {
		return proof.Step{}, err
	}
	g, values, err := d.Computed()
	if err != nil {
		return proof.Step{}, answer.Unexpected(err)
	}
	step, err := answer.Explain(g, values, key, depth)
	return step, unknownKey(err)
}

// QuoteFile writes a revision of a quote as a file; who may not see cost gets those for the
// customer.
func (s *Service) QuoteFile(ctx context.Context, a Actor, number string, revision int, format string) (data []byte, name, mediaType string, err error) {
	f, err := promise.FormatOf(format)
	if err != nil {
		return nil, "", "", err
	}
	if f.Internal() {
		if err := s.May(ctx, a, Read); err != nil {
			return nil, "", "", err
		}
	}
	d, err := s.Quote(ctx, number, revision)
	if err != nil {
		return nil, "", "", err
	}
	return f.Write(d)
}
