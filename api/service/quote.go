package service

import (
	"context"
	"fmt"
	"time"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/papers/quote"
	"kerfbook/costing/papers/show"
)

// QuoteRequest is what a quote is asked for with.
type QuoteRequest = quote.Request

// QuoteDocument is a revision of a quote with where it stands.
type QuoteDocument struct {
	*quote.Document
	State     quote.State
	Latest    int    // newest revision of the quote
	Hash      string // of the content, in hex; empty for a draft
	CreatedAt time.Time
	CreatedBy string
	Book      answer.Version // of the book a draft was made from; empty once it is issued
	Basis     *quote.Basis   // of a draft: what its prices rest on; nil once it is issued
}

// View gives the document in words, every number with its key.
func (d QuoteDocument) View() show.QuoteView { return show.Quote(d.Document, d.State, d.Hash) }

// QuoteHead is a quote in a list: its newest revision.
type QuoteHead struct {
	Number          string
	Revision        int
	State           quote.State
	Customer        string
	Destination     string
	Currency        string
	Net, Tax, Total decimal.Decimal
	ValidUntil      bom.Date
	CreatedAt       time.Time
	CreatedBy       string
}

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

// PreviewQuote gives a quote as it would be issued today; nothing is written. It is
// the next revision of a quote, under the number it would have, or a new quote if
// number is empty. Its unverified rows are listed and need no confirmation yet.
func (s *Service) PreviewQuote(ctx context.Context, number string, req QuoteRequest) (QuoteDocument, error) {
	held, err := s.current(ctx)
	if err != nil {
		return QuoteDocument{}, err
	}
	d, err := s.draftQuote(held, req, nil)
	if err != nil {
		return QuoteDocument{}, err
	}
	basis, err := d.Basis()
	out := QuoteDocument{Document: d, State: quote.Draft, Latest: 1, Book: held.Version, Basis: basis}
	if err != nil || number == "" {
		return out, answer.Unexpected(err)
	}
	last, err := s.Quote(ctx, number, 0)
	if err != nil {
		return QuoteDocument{}, err
	}
	out.Number, out.Revision, out.Latest = last.Number, last.Latest+1, last.Latest
	return out, nil
}

// draftQuote makes a quote of today from a book. What was seen is compared with the
// very book and day that the figures are made from.
func (s *Service) draftQuote(held *change.Shelf, req QuoteRequest, seen []Seen) (*quote.Document, error) {
	if problems := held.Book.UnreadProblems(); len(problems) > 0 {
		out := answer.Invalidf("no quote is made while stored records cannot be read, as its figures could lack them")
		for _, problem := range problems {
			out.Fields = append(out.Fields, answer.FieldError{Path: problem.Path, Message: problem.Message})
		}
		return nil, out
	}
	day := s.Today()
	for _, one := range seen {
		if err := one.figures(held.Version, day); err != nil {
			return nil, err
		}
	}
	d, err := quote.Build(held.Book, req, day)
	return d, unquotable(err)
}

// IssueQuote issues the next revision of a quote, or a quote under the next number
// of the year if number is empty. The error is Unverified where it rests on rows
// without a source that the request does not confirm, FiguresChanged where the
// figures that were seen are not those of now, and Conflict for a quote that was
// withdrawn or has changed since it was seen.
func (s *Service) IssueQuote(ctx context.Context, tx Tx, a Actor, number string, req QuoteRequest, seen ...Seen) (QuoteDocument, error) {
	if err := a.need(Quote); err != nil {
		return QuoteDocument{}, err
	}
	held, err := s.begun(ctx, tx)
	if err != nil {
		return QuoteDocument{}, err
	}
	d, err := s.draftQuote(held, req, seen)
	if err != nil {
		return QuoteDocument{}, err
	}
	if err := d.Issuable(); err != nil {
		return QuoteDocument{}, unquotable(err)
	}
	action := "issue quote"
	if number == "" {
		series := string(d.IssuedOn[:4])
		n, err := tx.Quotes().NextNumber(ctx, series)
		if err != nil {
			return QuoteDocument{}, err
		}
		d.Number, d.Revision = fmt.Sprintf("%s-%04d", series, n), 1
	} else {
		action = "revise quote"
		last, err := tx.Quotes().Get(ctx, number, 0)
		if err != nil {
			return QuoteDocument{}, err
		}
		if err := s.unchanged(last, seen); err != nil {
			return QuoteDocument{}, err
		}
		if _, err := quote.State(last.State).Revise(); err != nil {
			return QuoteDocument{}, stateProblem(err)
		}
		d.Number, d.Revision = last.Number, last.Revision+1
	}
	q, err := storable(d)
	if err != nil {
		return QuoteDocument{}, answer.Unexpected(err)
	}
	if q, err = s.keepQuote(ctx, tx, a, action, q); err != nil {
		return QuoteDocument{}, err
	}
	return s.readQuote(q, q.Revision)
}

// storable puts a document in the form it is kept in.
func storable(d *quote.Document) (StoredQuote, error) {
	canonical, err := d.Encode()
	if err != nil {
		return StoredQuote{}, err
	}
	q := StoredQuote{Number: d.Number, Revision: d.Revision, State: string(quote.Issued), Customer: d.Customer.Name,
		Destination: d.Destination, Currency: d.Currency, ValidUntil: d.ValidUntil}
	for _, f := range []struct {
		into *decimal.Decimal
		from quote.Figure
	}{{&q.Net, d.Totals.Net}, {&q.Tax, d.Totals.Tax}, {&q.Total, d.Totals.Total}} {
		if *f.into, err = decimal.NewFromString(f.from.Value); err != nil {
			return StoredQuote{}, err
		}
	}
	q.Document, err = quote.Pack(canonical)
	return q, err
}

// WithdrawQuote takes a quote back for good. The error is Conflict for one that
// cannot be withdrawn or has changed since it was seen.
func (s *Service) WithdrawQuote(ctx context.Context, tx Tx, a Actor, number string, seen ...Seen) error {
	if err := a.need(Quote); err != nil {
		return err
	}
	q, err := tx.Quotes().Get(ctx, number, 0)
	if err != nil {
		return err
	}
	if err := s.unchanged(q, seen); err != nil {
		return err
	}
	next, err := quote.State(q.State).Withdraw()
	if err != nil {
		return stateProblem(err)
	}
	if err := tx.Quotes().SetState(ctx, number, string(next)); err != nil {
		return err
	}
	_, err = s.log(ctx, tx, a, "withdraw quote", stateObject(number), stateHash(q.State), stateHash(string(next)))
	return err
}
