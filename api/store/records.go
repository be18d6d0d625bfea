package store

import (
	"context"
	"fmt"

	"kerfbook/api/answer"
	"kerfbook/api/service"
)

type records struct{ *tx }

const bookVersion = "SELECT version FROM book_state WHERE id = 1"

func (r records) Version(ctx context.Context) (v answer.Version, err error) {
	err = r.row(ctx, "version of the book", func(s scanner) error { return s.Scan(&v) }, bookVersion)
	return v, err
}

func (r records) SetVersion(ctx context.Context, v answer.Version) error {
	_, err := r.exec(ctx, "the version of the book", "UPDATE book_state SET version = $1 WHERE id = 1", string(v))
	return err
}

// recordColumns are the columns of scanRecord; the text of a record is left out
// where it is not wanted.
const (
	recordColumns = "r.kind, r.id, r.name, r.revision, h.position, r.body, r.hash, r.deleted, r.changed_at, r.changed_by"
	headColumns   = "r.kind, r.id, r.name, r.revision, h.position, '', r.hash, r.deleted, r.changed_at, r.changed_by"
	currentFrom   = " FROM record_heads h JOIN record_revisions r ON r.kind = h.kind AND r.id = h.id AND r.revision = h.revision"
	anyFrom       = " FROM record_heads h JOIN record_revisions r ON r.kind = h.kind AND r.id = h.id"
)

func scanRecord(s scanner, r *service.StoredRecord) error {
	return s.Scan(&r.Kind, &r.ID, &r.Name, &r.Revision, &r.Position, &r.Text, &r.Hash, &r.Deleted, moment{&r.ChangedAt}, &r.ChangedBy)
}

func (r records) Current(ctx context.Context) ([]service.StoredRecord, error) {
	return list(ctx, r.tx, scanRecord, "SELECT "+recordColumns+currentFrom+" WHERE NOT h.deleted ORDER BY h.kind, h.position, h.id")
}

func (r records) Page(ctx context.Context, kind, after string, limit int) ([]service.StoredRecord, error) {
	return list(ctx, r.tx, scanRecord, "SELECT "+headColumns+currentFrom+" WHERE NOT h.deleted AND h.kind = $1 AND h.id > $2 ORDER BY h.id LIMIT $3",
		kind, after, limit)
}

func (r records) Get(ctx context.Context, kind, id string, revision int) (service.StoredRecord, error) {
	what := fmt.Sprintf("record %s %s", kind, id)
	if revision == 0 {
		return one(ctx, r.tx, what, scanRecord, "SELECT "+recordColumns+currentFrom+" WHERE h.kind = $1 AND h.id = $2", kind, id)
	}
	what += fmt.Sprintf(" revision %d", revision)
	return one(ctx, r.tx, what, scanRecord, "SELECT "+recordColumns+anyFrom+" WHERE h.kind = $1 AND h.id = $2 AND r.revision = $3", kind, id, revision)
}

func (r records) Revisions(ctx context.Context, kind, id string) ([]service.StoredRecord, error) {
	return list(ctx, r.tx, scanRecord, "SELECT "+headColumns+anyFrom+" WHERE h.kind = $1 AND h.id = $2 ORDER BY r.revision DESC", kind, id)
}

func (r records) EachRevision(ctx context.Context, f func(service.StoredRecord) error) error {
	return each(ctx, r.tx, scanRecord, f, "SELECT "+recordColumns+anyFrom+" ORDER BY r.kind, r.id, r.revision")
}

func (r records) Append(ctx context.Context, n service.StoredRecord) error {
	what := fmt.Sprintf("revision %d of %s %s", n.Revision, n.Kind, n.ID)
	_, err := r.exec(ctx, what, `INSERT INTO record_revisions (kind, id, revision, name, body, hash, deleted, changed_at, changed_by)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
		n.Kind, n.ID, n.Revision, n.Name, string(n.Text), n.Hash, n.Deleted, at(n.ChangedAt), n.ChangedBy)
	if err != nil {
		return err
	}
	_, err = r.exec(ctx, what, `INSERT INTO record_heads (kind, id, revision, position, deleted) VALUES ($1, $2, $3, $4, $5)
		ON CONFLICT (kind, id) DO UPDATE SET revision = excluded.revision, position = excluded.position, deleted = excluded.deleted`,
		n.Kind, n.ID, n.Revision, n.Position, n.Deleted)
	return err
}

func (r records) Place(ctx context.Context, kind, id string, position int) error {
	_, err := r.exec(ctx, "the place of "+id, "UPDATE record_heads SET position = $1 WHERE kind = $2 AND id = $3", position, kind, id)
	return err
}
