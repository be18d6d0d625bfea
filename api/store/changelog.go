package store

import (
	"context"
	"fmt"

	"kerfbook/api/service"
)

type changeLog struct{ *tx }

const logSelect = "SELECT seq, at, actor, action, object, before_hash, after_hash, prev_hash, hash FROM change_log"

func scanEntry(s scanner, e *service.LogEntry) error {
	return s.Scan(&e.Seq, moment{&e.At}, &e.Actor, &e.Action, &e.Object, &e.Before, &e.After, &e.Prev, &e.Hash)
}

func (l changeLog) Head(ctx context.Context) (service.LogEntry, error) {
	return one(ctx, l.tx, "entry in the change log", scanEntry, logSelect+" ORDER BY seq DESC LIMIT 1")
}

func (l changeLog) Append(ctx context.Context, e service.LogEntry) error {
	_, err := l.exec(ctx, fmt.Sprintf("entry %d of the change log", e.Seq),
		`INSERT INTO change_log (seq, at, actor, action, object, before_hash, after_hash, prev_hash, hash)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
		e.Seq, at(e.At), e.Actor, e.Action, e.Object, e.Before, e.After, e.Prev, e.Hash)
	return err
}

func (l changeLog) Page(ctx context.Context, before int64, limit int) ([]service.LogEntry, error) {
	return list(ctx, l.tx, scanEntry, logSelect+" WHERE $1 = 0 OR seq < $1 ORDER BY seq DESC LIMIT $2", before, limit)
}

func (l changeLog) Each(ctx context.Context, f func(service.LogEntry) error) error {
	return each(ctx, l.tx, scanEntry, f, logSelect+" ORDER BY seq")
}
