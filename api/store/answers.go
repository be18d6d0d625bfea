package store

import (
	"context"
	"time"

	"kerfbook/api/service"
)

type answers struct{ *tx }

func (a answers) Get(ctx context.Context, actor, key string) (service.StoredAnswer, error) {
	return one(ctx, a.tx, "answer under this key", func(s scanner, v *service.StoredAnswer) error {
		return s.Scan(&v.Actor, &v.Key, &v.Fingerprint, &v.Status, &v.Body, moment{&v.At})
	}, "SELECT actor, key, fingerprint, status, body, answered_at FROM idempotency_keys WHERE actor = $1 AND key = $2", actor, key)
}

func (a answers) Insert(ctx context.Context, n service.StoredAnswer) error {
	body := n.Body
	if body == nil {
		body = []byte{}
	}
	_, err := a.exec(ctx, "an answer under this key",
		"INSERT INTO idempotency_keys (actor, key, fingerprint, status, body, answered_at) VALUES ($1, $2, $3, $4, $5, $6)",
		n.Actor, n.Key, n.Fingerprint, n.Status, body, at(n.At))
	return err
}

func (a answers) Forget(ctx context.Context, before time.Time) error {
	_, err := a.exec(ctx, "old answers", "DELETE FROM idempotency_keys WHERE answered_at < $1", at(before))
	return err
}
