package store

import (
	"context"
	"fmt"

	"kerfbook/api/answer"
	"kerfbook/api/service/promise"
)

type quotes struct{ *tx }

func (q quotes) NextNumber(ctx context.Context, series string) (n int64, err error) {
	err = q.row(ctx, "series "+series, func(s scanner) error { return s.Scan(&n) },
		`INSERT INTO quote_series (series, last) VALUES ($1, 1)
		ON CONFLICT (series) DO UPDATE SET last = quote_series.last + 1 RETURNING last`, series)
	return n, err
}

func (q quotes) Counted(ctx context.Context) (map[string]int64, error) {
	type counter struct {
		series string
		last   int64
	}
	out := map[string]int64{}
	err := each(ctx, q.tx, func(s scanner, c *counter) error { return s.Scan(&c.series, &c.last) },
		func(c counter) error { out[c.series] = c.last; return nil }, "SELECT series, last FROM quote_series")
	return out, err
}

func (q quotes) Insert(ctx context.Context, n promise.StoredQuote) error {
	what := fmt.Sprintf("quote %s revision %d", n.Number, n.Revision)
	_, err := q.exec(ctx, what, `INSERT INTO quote_revisions
		(number, revision, customer, destination, currency, net, tax, total, valid_until, document, hash, created_at, created_by)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13)`,
		n.Number, n.Revision, n.Customer, n.Destination, n.Currency, exactly(n.Net), exactly(n.Tax), exactly(n.Total),
		string(n.ValidUntil), n.Document, n.Hash, at(n.CreatedAt), n.CreatedBy)
	if err != nil {
		return err
	}
	_, err = q.exec(ctx, what, `INSERT INTO quotes (number, place, revision, state)
		VALUES ($1, (SELECT COALESCE(max(place), 0) + 1 FROM quotes), $2, $3)
		ON CONFLICT (number) DO UPDATE SET revision = excluded.revision, state = excluded.state`,
		n.Number, n.Revision, n.State)
	return err
}

func (q quotes) SetState(ctx context.Context, number, state string) error {
	changed, err := q.exec(ctx, "the state of quote "+number, "UPDATE quotes SET state = $1 WHERE number = $2", state, number)
	if err == nil && changed == 0 {
		return &answer.Error{Code: answer.NotFound, Message: "there is no quote " + number}
	}
	return err
}

const (
	quoteColumns     = "r.number, r.revision, q.state, r.customer, r.destination, r.currency, r.net, r.tax, r.total, r.valid_until, r.document, r.hash, r.created_at, r.created_by"
	quoteHeadColumns = "r.number, r.revision, q.state, r.customer, r.destination, r.currency, r.net, r.tax, r.total, r.valid_until, NULL, r.hash, r.created_at, r.created_by"
	latestFrom       = " FROM quotes q JOIN quote_revisions r ON r.number = q.number AND r.revision = q.revision"
	everyFrom        = " FROM quotes q JOIN quote_revisions r ON r.number = q.number"
)

func scanQuote(s scanner, q *promise.StoredQuote) error {
	return s.Scan(&q.Number, &q.Revision, &q.State, &q.Customer, &q.Destination, &q.Currency, figure{&q.Net}, figure{&q.Tax}, figure{&q.Total},
		&q.ValidUntil, &q.Document, &q.Hash, moment{&q.CreatedAt}, &q.CreatedBy)
}

func (q quotes) Get(ctx context.Context, number string, revision int) (promise.StoredQuote, error) {
	if revision == 0 {
		return one(ctx, q.tx, "quote "+number, scanQuote, "SELECT "+quoteColumns+latestFrom+" WHERE q.number = $1", number)
	}
	return one(ctx, q.tx, fmt.Sprintf("quote %s revision %d", number, revision), scanQuote,
		"SELECT "+quoteColumns+everyFrom+" WHERE q.number = $1 AND r.revision = $2", number, revision)
}

func (q quotes) Page(ctx context.Context, after string, limit int) ([]promise.StoredQuote, error) {
	query, args := "SELECT "+quoteHeadColumns+latestFrom+" ORDER BY q.place DESC LIMIT $1", []any{limit}
	if after != "" {
		query = "SELECT " + quoteHeadColumns + latestFrom +
			" WHERE q.place < (SELECT place FROM quotes WHERE number = $2) ORDER BY q.place DESC LIMIT $1"
		args = append(args, after)
	}
	return list(ctx, q.tx, scanQuote, query, args...)
}

func (q quotes) EachRevision(ctx context.Context, f func(promise.StoredQuote) error) error {
	return each(ctx, q.tx, scanQuote, f, "SELECT "+quoteColumns+everyFrom+" ORDER BY q.place, r.revision")
}

func (q quotes) InsertPattern(ctx context.Context, b promise.StoredPattern) error {
	_, err := q.exec(ctx, "what quotes differ from", `INSERT INTO quote_patterns (hash, likeness, whole, place, document)
		VALUES ($1, $2, $3, (SELECT COALESCE(max(place), 0) + 1 FROM quote_patterns), $4) ON CONFLICT (hash) DO NOTHING`,
		b.Hash, b.Likeness, b.Whole, b.Document)
	return err
}

func scanDocument(s scanner, document *[]byte) error { return s.Scan(document) }

func (q quotes) Pattern(ctx context.Context, hash []byte) ([]byte, error) {
	return one(ctx, q.tx, fmt.Sprintf("pattern %x of quotes", hash), scanDocument, "SELECT document FROM quote_patterns WHERE hash = $1", hash)
}

func (q quotes) NewestPattern(ctx context.Context, likeness string) ([]byte, error) {
	which := "likeness = $1"
	if likeness == "" {
		which = "whole AND $1 = ''"
	}
	found, err := list(ctx, q.tx, scanDocument, "SELECT document FROM quote_patterns WHERE "+which+" ORDER BY place DESC LIMIT 1", likeness)
	if len(found) == 0 {
		return nil, err
	}
	return found[0], err
}

func (q quotes) EachPattern(ctx context.Context, f func(promise.StoredPattern) error) error {
	return each(ctx, q.tx, func(s scanner, p *promise.StoredPattern) error {
		return s.Scan(&p.Hash, &p.Likeness, &p.Whole, &p.Document)
	}, f,
		"SELECT hash, likeness, whole, document FROM quote_patterns ORDER BY place")
}
