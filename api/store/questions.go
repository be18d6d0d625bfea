package store

import (
	"context"
	"time"

	"kerfbook/api/answer"
)

type questions struct{ *tx }

func (q questions) Insert(ctx context.Context, id string, question []byte, asked time.Time) error {
	_, err := q.exec(ctx, "the run", "INSERT INTO runs (id, question, asked_at) VALUES ($1, $2, $3) ON CONFLICT (id) DO NOTHING", id, question, at(asked))
	return err
}

func (q questions) Question(ctx context.Context, id string) (question []byte, err error) {
	err = q.row(ctx, "such run", func(s scanner) error { return s.Scan(&question) }, "SELECT question FROM runs WHERE id = $1", id)
	return question, err
}

func (q questions) Delete(ctx context.Context, id string) error {
	changed, err := q.exec(ctx, "the run", "DELETE FROM runs WHERE id = $1", id)
	if err == nil && changed == 0 {
		return &answer.Error{Code: answer.NotFound, Message: "there is no such run"}
	}
	return err
}

func (q questions) Forget(ctx context.Context, before time.Time) error {
	_, err := q.exec(ctx, "old runs", "DELETE FROM runs WHERE asked_at < $1", at(before))
	return err
}
