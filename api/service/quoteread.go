package service

import (
	"context"

	"kerfbook/api/answer"
	"kerfbook/costing/graph/proof"
	"kerfbook/costing/papers/quote"
)

// Quotes lists quotes by their newest revisions, the newest number first. next
// is where the following page begins, empty at the end.
func (s *Service) Quotes(ctx context.Context, after string, limit int) (page []QuoteHead, next string, err error) {
	limit = pageSize(limit)
	page = []QuoteHead{}
	err = s.view(ctx, func(tx Tx) error {
		rows, err := tx.Quotes().Page(ctx, after, limit+1)
		if err != nil {
			return err
		}
		if len(rows) > limit {
			rows, next = rows[:limit], rows[limit-1].Number
		}
		for _, q := range rows {
			page = append(page, s.head(q))
		}
		return nil
	})
	return page, next, answer.Unexpected(err)
}

func (s *Service) head(q StoredQuote) QuoteHead {
	return QuoteHead{Number: q.Number, Revision: q.Revision, State: quote.On(quote.State(q.State), q.Revision, q.Revision, q.ValidUntil, s.Today()),
		Customer: q.Customer, Destination: q.Destination, Currency: q.Currency, Net: q.Net, Tax: q.Tax, Total: q.Total,
		ValidUntil: q.ValidUntil, CreatedAt: q.CreatedAt, CreatedBy: q.CreatedBy}
}

// Quote gives a revision of a quote as it was issued, 0 for the newest. Nothing
// of it is computed again.
func (s *Service) Quote(ctx context.Context, number string, revision int) (QuoteDocument, error) {
	var stored StoredQuote
	latest := 0
	err := s.view(ctx, func(tx Tx) (err error) {
		stored, latest, err = findQuote(ctx, tx, number, revision)
		return err
	})
	if err != nil {
		return QuoteDocument{}, err
	}
	return s.readQuote(stored, latest)
}

// QuoteIn gives the newest revision as a transaction under way sees it.
func (s *Service) QuoteIn(ctx context.Context, tx Tx, number string) (QuoteDocument, error) {
	stored, latest, err := findQuote(ctx, tx, number, 0)
	if err != nil {
		return QuoteDocument{}, err
	}
	return s.readQuote(stored, latest)
}

func findQuote(ctx context.Context, tx Tx, number string, revision int) (stored StoredQuote, latest int, err error) {
	newest, err := tx.Quotes().Get(ctx, number, 0)
	if err != nil || revision == 0 || revision == newest.Revision {
		return newest, newest.Revision, err
	}
	stored, err = tx.Quotes().Get(ctx, number, revision)
	return stored, newest.Revision, err
}

// readQuote opens a stored quote.
func (s *Service) readQuote(q StoredQuote, latest int) (QuoteDocument, error) {
	d, hash, err := quote.Open(q.Document)
	if err != nil {
		return QuoteDocument{}, answer.Unexpected(err)
	}
	return QuoteDocument{Document: d, State: quote.On(quote.State(q.State), q.Revision, latest, d.ValidUntil, s.Today()),
		Latest: latest, Hash: hash, CreatedAt: q.CreatedAt, CreatedBy: q.CreatedBy}, nil
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
