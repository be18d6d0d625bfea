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

func (l changeLog) Head(ctx context.Context) (e service.LogEntry, err error) {
	err = l.row(ctx, "entry in the change log", func(s scanner) error { return scanEntry(s, &e) }, logSelect+" ORDER BY seq DESC LIMIT 1")
	return e, err
}

func (l changeLog) Append(ctx context.Context, e service.LogEntry) error {
	_, err := l.exec(ctx, fmt.Sprintf("entry %d of the change log", e.Seq),
		`INSERT INTO change_log (seq, at, actor, action, object, before_hash, after_hash, prev_hash, hash)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
		e.Seq, at(e.At), e.Actor, e.Action, e.Object, e.Before, e.After, e.Prev, e.Hash)
	return err
}

func (l changeLog) Page(ctx context.Context, before int64, limit int) (out []service.LogEntry, err error) {
	err = l.each(ctx, func(s scanner) error {
		var e service.LogEntry
		err := scanEntry(s, &e)
		out = append(out, e)
		return err
	}, logSelect+" WHERE $1 = 0 OR seq < $1 ORDER BY seq DESC LIMIT $2", before, limit)
	return out, err
}

func (l changeLog) Each(ctx context.Context, f func(service.LogEntry) error) error {
	return l.each(ctx, func(s scanner) error {
		var e service.LogEntry
		if err := scanEntry(s, &e); err != nil {
			return err
		}
		return f(e)
	}, logSelect+" ORDER BY seq")
}
