-- Times are microseconds since 1970 UTC. Hashes are SHA-256.

-- +goose Up
CREATE TABLE book_state (
    id      INTEGER PRIMARY KEY CHECK (id = 1),
    version TEXT NOT NULL -- of the book; empty while there is none
) STRICT;
INSERT INTO book_state (id, version) VALUES (1, '');

CREATE TABLE record_revisions (
    kind       TEXT NOT NULL,
    id         TEXT NOT NULL,
    revision   INTEGER NOT NULL CHECK (revision > 0),
    name       TEXT NOT NULL,
    body       TEXT NOT NULL,
    hash       BLOB NOT NULL,
    deleted    INTEGER NOT NULL CHECK (deleted IN (0, 1)),
    changed_at INTEGER NOT NULL,
    changed_by TEXT NOT NULL,
    PRIMARY KEY (kind, id, revision)
) STRICT, WITHOUT ROWID;

-- The current revision of every record, and where it stands in its list.
CREATE TABLE record_heads (
    kind     TEXT NOT NULL,
    id       TEXT NOT NULL,
    revision INTEGER NOT NULL,
    position INTEGER NOT NULL,
    deleted  INTEGER NOT NULL CHECK (deleted IN (0, 1)),
    PRIMARY KEY (kind, id),
    FOREIGN KEY (kind, id, revision) REFERENCES record_revisions (kind, id, revision)
) STRICT, WITHOUT ROWID;

CREATE TABLE change_log (
    seq         INTEGER PRIMARY KEY CHECK (seq > 0),
    at          INTEGER NOT NULL,
    actor       TEXT NOT NULL,
    action      TEXT NOT NULL,
    object      TEXT NOT NULL,
    before_hash TEXT NOT NULL,
    after_hash  TEXT NOT NULL,
    prev_hash   BLOB NOT NULL,
    hash        BLOB NOT NULL
) STRICT;

-- +goose StatementBegin
CREATE TRIGGER record_revisions_no_update BEFORE UPDATE ON record_revisions
BEGIN
    SELECT RAISE(ABORT, 'a revision never changes');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER record_revisions_no_delete BEFORE DELETE ON record_revisions
BEGIN
    SELECT RAISE(ABORT, 'a revision never changes');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER change_log_no_update BEFORE UPDATE ON change_log
BEGIN
    SELECT RAISE(ABORT, 'the change log only grows');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER change_log_no_delete BEFORE DELETE ON change_log
BEGIN
    SELECT RAISE(ABORT, 'the change log only grows');
END;
-- +goose StatementEnd

-- +goose Down
DROP TABLE change_log;
DROP TABLE record_heads;
DROP TABLE record_revisions;
DROP TABLE book_state;
