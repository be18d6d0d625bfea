package promise

import (
	"context"
	"crypto/sha256"
	"fmt"
	"time"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/check"
	"kerfbook/costing/papers/quote"
	"kerfbook/costing/papers/show"
)

// Quote is a revision of a quote with where it stands.
type Quote struct {
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
func (d Quote) View() show.QuoteView { return show.Quote(d.Document, d.State, d.Hash) }

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

// Draft makes a quote of a day from a book in a version. What was seen is compared with the
// very book and day that the figures are made from.
func Draft(b *book.Book, version answer.Version, req quote.Request, day bom.Date, seen []Seen) (*quote.Document, error) {
	if problems := check.Unread(b); len(problems) > 0 {
		out := answer.Invalidf("no quote is made while stored records cannot be read, as its figures could lack them")
		for _, problem := range problems {
			out.Fields = append(out.Fields, answer.FieldError{Path: problem.Path, Message: problem.Message})
		}
		return nil, out
	}
	for _, one := range seen {
		if err := one.figures(version, day); err != nil {
			return nil, err
		}
	}
	d, err := quote.Build(b, req, day)
	return d, Unquotable(err)
}

// Preview is a draft as it would be issued; last is the quote that it would be the
// next revision of, nil for a new one.
func Preview(d *quote.Document, version answer.Version, last *Quote) (Quote, error) {
	basis, err := d.Basis()
	out := Quote{Document: d, State: quote.Draft, Latest: 1, Book: version, Basis: basis}
	if last != nil {
		out.Number, out.Revision, out.Latest = last.Number, last.Latest+1, last.Latest
	}
	return out, answer.Unexpected(err)
}

// Name gives a document its number and revision: the next revision of a quote, or
// the next number of the year if number is empty. The error is Conflict for a quote
// that was withdrawn or has changed since it was seen.
func Name(ctx context.Context, quotes QuoteStore, d *quote.Document, number string, seen []Seen, today bom.Date) error {
	if number == "" {
		series := string(d.IssuedOn[:4])
		n, err := quotes.NextNumber(ctx, series)
		d.Number, d.Revision = fmt.Sprintf("%s-%04d", series, n), 1
		return err
	}
	last, err := quotes.Get(ctx, number, 0)
	if err != nil {
		return err
	}
	if err := last.Unchanged(seen, today); err != nil {
		return err
	}
	d.Number, d.Revision = last.Number, last.Revision+1
	_, err = quote.State(last.State).Revise()
	return stateProblem(err)
}

// Withdrawn is a quote taken back for good. The error is Conflict for one that cannot
// be, or has changed since it was seen.
func (q StoredQuote) Withdrawn(seen []Seen, today bom.Date) (StoredQuote, error) {
	if err := q.Unchanged(seen, today); err != nil {
		return q, err
	}
	next, err := quote.State(q.State).Withdraw()
	q.State = string(next)
	return q, stateProblem(err)
}

// Storable puts a document in the form it is kept in, with who issues it and when. A
// pattern that it needs is added to the store.
func Storable(ctx context.Context, quotes QuoteStore, d *quote.Document, at time.Time, by string) (StoredQuote, error) {
	q := StoredQuote{Number: d.Number, Revision: d.Revision, State: string(quote.Issued), Customer: d.Customer.Name,
		Destination: d.Destination, Currency: d.Currency, ValidUntil: d.ValidUntil, CreatedAt: at, CreatedBy: by}
	var err error
	for _, f := range []struct {
		into *decimal.Decimal
		from quote.Figure
	}{{&q.Net, d.Totals.Net}, {&q.Tax, d.Totals.Tax}, {&q.Total, d.Totals.Total}} {
		if *f.into, err = decimal.NewFromString(f.from.Value); err != nil {
			return StoredQuote{}, err
		}
	}
	if q.Document, err = packed(ctx, quotes, d); err != nil {
		return StoredQuote{}, err
	}
	sum := sha256.Sum256(q.Document)
	q.Hash = sum[:]
	return q, nil
}

// Head is a stored quote in a list, on a day.
func (q StoredQuote) Head(today bom.Date) QuoteHead {
	return QuoteHead{Number: q.Number, Revision: q.Revision, State: q.on(today),
		Customer: q.Customer, Destination: q.Destination, Currency: q.Currency, Net: q.Net, Tax: q.Tax, Total: q.Total,
		ValidUntil: q.ValidUntil, CreatedAt: q.CreatedAt, CreatedBy: q.CreatedBy}
}

// Open reads a stored quote as it stands on a day; latest is its newest revision.
// Nothing of it is computed again.
func (q StoredQuote) Open(ctx context.Context, quotes QuoteStore, latest int, today bom.Date) (Quote, error) {
	d, hash, err := quote.Open(q.Document, patternsOf(ctx, quotes))
	if err != nil {
		return Quote{}, answer.Unexpected(err)
	}
	return Quote{Document: d, State: quote.On(quote.State(q.State), q.Revision, latest, d.ValidUntil, today),
		Latest: latest, Hash: hash, CreatedAt: q.CreatedAt, CreatedBy: q.CreatedBy}, nil
}
