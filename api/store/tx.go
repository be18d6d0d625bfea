package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"kerfbook/api/answer"
	"kerfbook/api/service"
	"kerfbook/api/service/promise"
)

// tx is a transaction; its methods hand out the same by subject.
type tx struct {
	*sql.Tx
	dialect dialect
}

func (t *tx) Records() service.RecordStore          { return records{t} }
func (t *tx) Quotes() promise.QuoteStore            { return quotes{t} }
func (t *tx) Access() service.AccessStore           { return access{t} }
func (t *tx) Log() service.LogStore                 { return changeLog{t} }
func (t *tx) Idempotency() service.IdempotencyStore { return answers{t} }
func (t *tx) Runs() service.RunStore                { return questions{t} }
func (t *tx) Scenarios() service.ScenarioStore      { return scenarios{t} }

// exec runs a statement; what names what a duplicate would be.
func (t *tx) exec(ctx context.Context, what, query string, args ...any) (changed int64, err error) {
	result, err := t.ExecContext(ctx, query, args...)
	if err != nil {
		if t.dialect.trouble(err) == duplicate {
			return 0, &answer.Error{Code: answer.Exists, Message: what + " is there already", Err: err}
		}
		return 0, fmt.Errorf("%s: %w", what, err)
	}
	return result.RowsAffected()
}

// row reads one row; what names what is missing if there is none.
func (t *tx) row(ctx context.Context, what string, scan func(scanner) error, query string, args ...any) error {
	err := scan(t.QueryRowContext(ctx, query, args...))
	if errors.Is(err, sql.ErrNoRows) {
		return &answer.Error{Code: answer.NotFound, Message: "there is no " + what}
	}
	if err != nil {
		return fmt.Errorf("%s: %w", what, err)
	}
	return nil
}

// one reads a row with the way to scan it; what names what is missing.
func one[T any](ctx context.Context, t *tx, what string, scan func(scanner, *T) error, query string, args ...any) (v T, err error) {
	err = t.row(ctx, what, func(s scanner) error { return scan(s, &v) }, query, args...)
	return v, err
}

// each hands over the rows of a query.
func each[T any](ctx context.Context, t *tx, scan func(scanner, *T) error, f func(T) error, query string, args ...any) error {
	rows, err := t.QueryContext(ctx, query, args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		var v T
		if err := scan(rows, &v); err != nil {
			return err
		}
		if err := f(v); err != nil {
			return err
		}
	}
	return rows.Err()
}

// list gives the rows of a query.
func list[T any](ctx context.Context, t *tx, scan func(scanner, *T) error, query string, args ...any) (out []T, err error) {
	err = each(ctx, t, scan, func(v T) error { out = append(out, v); return nil }, query, args...)
	return out, err
}

// scanner is one row.
type scanner interface {
	Scan(into ...any) error
}
