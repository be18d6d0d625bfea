package service

import (
	"bytes"
	"context"
	"fmt"
	"strings"

	"kerfbook/api/answer/change"
)

// keepQuote stores the next revision of a quote and logs it, with its state. It
// fills in the hash of the document, who made it and when.
func (s *Service) keepQuote(ctx context.Context, tx Tx, a Actor, action string, q StoredQuote) (StoredQuote, error) {
	q.Hash, q.CreatedAt, q.CreatedBy = hashOf(q.Document), s.clock(), a.Name
	if err := tx.Quotes().Insert(ctx, q); err != nil {
		return q, err
	}
	if _, err := s.logAt(ctx, tx, q.CreatedAt, a, action, quoteObject(q), "", quoteHash(q)); err != nil {
		return q, err
	}
	_, err := s.log(ctx, tx, a, action, stateObject(q.Number), "", stateHash(q.State))
	return q, err
}

const quotePrefix = "quotes/"

// quoteObject names a revision of a quote in the log, stateObject its state.
func quoteObject(q StoredQuote) string {
	return fmt.Sprintf("%s%s@%d", quotePrefix, q.Number, q.Revision)
}

func stateObject(number string) string { return quotePrefix + number }

func isQuoteEntry(object string) bool { return strings.HasPrefix(object, quotePrefix) }

func stateHash(state string) string { return change.HexOf(hashOf([]byte(state))) }

// quoteHash covers the document and everything that stands beside it.
func quoteHash(q StoredQuote) string {
	return change.HexOf(hashOf(fmt.Appendf(nil, `{"currency":%s,"customer":%s,"destination":%s,"document":"%s","net":"%s","tax":"%s","total":"%s","valid_until":%s}`,
		canonicalText(q.Currency), canonicalText(q.Customer), canonicalText(q.Destination), change.HexOf(hashOf(q.Document)),
		q.Net, q.Tax, q.Total, canonicalText(string(q.ValidUntil)))))
}

// quote checks a revision of a quote against the log.
func (v *verification) quote(q StoredQuote) error {
	if state, ok := v.entries[stateObject(q.Number)]; ok {
		if stateHash(q.State) != state.After {
			v.fault(state.Seq, stateObject(q.Number), "its state was changed behind the log")
		}
		delete(v.entries, stateObject(q.Number))
	}
	object := quoteObject(q)
	e, ok := v.take(object)
	switch {
	case !ok:
	case quoteHash(q) != e.After || !bytes.Equal(q.Hash, hashOf(q.Document)):
		v.fault(e.Seq, object, "it was changed after it was written")
	case !q.CreatedAt.Equal(e.At) || q.CreatedBy != e.Actor:
		v.fault(e.Seq, object, "who wrote it and when was changed")
	}
	return nil
}
