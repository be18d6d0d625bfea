package store

import (
	"context"
	"fmt"

	"kerfbook/api/service"
)

type changeLog struct{ *tx }

const logSelect = "SELECT seq, at, actor, action, object, before_hash, after_hash, change_no, reason, prev_hash, hash FROM change_log"

func scanEntry(s scanner, e *service.LogEntry) error {
	return s.Scan(&e.Seq, moment{&e.At}, &e.Actor, &e.Action, &e.Object, &e.Before, &e.After, &e.Change, &e.Reason, &e.Prev, &e.Hash)
}

func (l changeLog) Head(ctx context.Context) (service.LogEntry, error) {
	return one(ctx, l.tx, "entry in the change log", scanEntry, logSelect+" ORDER BY seq DESC LIMIT 1")
}

func (l changeLog) Append(ctx context.Context, e service.LogEntry) error {
	_, err := l.exec(ctx, fmt.Sprintf("entry %d of the change log", e.Seq),
		`INSERT INTO change_log (seq, at, actor, action, object, before_hash, after_hash, change_no, reason, prev_hash, hash)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)`,
		e.Seq, at(e.At), e.Actor, e.Action, e.Object, e.Before, e.After, e.Change, e.Reason, e.Prev, e.Hash)
	return err
}

func (l changeLog) Page(ctx context.Context, of service.ChangesOf, limit int) ([]service.LogEntry, error) {
	signIns, record := 0, of.Record
	if of.SignIns {
		signIns = 1
	}
	if record != "" {
		record += "@" // before the number of the revision
	}
	return list(ctx, l.tx, scanEntry, logSelect+` WHERE change_no IN (0, seq) AND ($1 = 0 OR seq < $1) AND ($2 = '' OR actor = $2)
		AND ($3 <> 0 OR substr(object, 1, 9) <> 'sessions/' AND substr(object, 1, 14) <> 'sign-in-links/')
		AND ($4 = '' OR substr(object, 1, length($4)) = $4 OR seq IN (SELECT change_no FROM change_log WHERE substr(object, 1, length($4)) = $4))
		ORDER BY seq DESC LIMIT $5`, of.Before, of.Actor, signIns, record, limit)
}

func (l changeLog) Of(ctx context.Context, change int64) ([]service.LogEntry, error) {
	return list(ctx, l.tx, scanEntry, logSelect+" WHERE change_no = $1 OR change_no = 0 AND seq = $1 ORDER BY seq", change)
}

func (l changeLog) After(ctx context.Context, seq int64) ([]service.LogEntry, error) {
	return list(ctx, l.tx, scanEntry, logSelect+" WHERE seq > $1 ORDER BY seq", seq)
}

func (l changeLog) Actors(ctx context.Context) ([]string, error) {
	return list(ctx, l.tx, func(s scanner, name *string) error { return s.Scan(name) }, "SELECT DISTINCT actor FROM change_log ORDER BY actor")
}

func (l changeLog) Each(ctx context.Context, f func(service.LogEntry) error) error {
	return each(ctx, l.tx, scanEntry, f, logSelect+" ORDER BY seq")
}
