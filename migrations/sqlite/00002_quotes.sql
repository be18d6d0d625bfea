-- Decimals are text: SQLite would turn numbers into floats.

-- +goose Up
CREATE TABLE quote_series (
    series TEXT PRIMARY KEY,
    last   INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE quote_revisions (
    number      TEXT NOT NULL,
    revision    INTEGER NOT NULL CHECK (revision > 0),
    customer    TEXT NOT NULL,
    destination TEXT NOT NULL,
    currency    TEXT NOT NULL,
    net         TEXT NOT NULL,
    tax         TEXT NOT NULL,
    total       TEXT NOT NULL,
    valid_until TEXT NOT NULL,
    document    BLOB NOT NULL,
    hash        BLOB NOT NULL,
    created_at  INTEGER NOT NULL,
    created_by  TEXT NOT NULL,
    PRIMARY KEY (number, revision)
) STRICT, WITHOUT ROWID;

-- The latest revision of every quote, and its state; place counts them as they
-- were issued.
CREATE TABLE quotes (
    number   TEXT PRIMARY KEY,
    place    INTEGER NOT NULL UNIQUE,
    revision INTEGER NOT NULL,
    state    TEXT NOT NULL,
    FOREIGN KEY (number, revision) REFERENCES quote_revisions (number, revision)
) STRICT, WITHOUT ROWID;

-- +goose StatementBegin
CREATE TRIGGER quote_revisions_no_update BEFORE UPDATE ON quote_revisions
BEGIN
    SELECT RAISE(ABORT, 'a quote never changes');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER quote_revisions_no_delete BEFORE DELETE ON quote_revisions
BEGIN
    SELECT RAISE(ABORT, 'a quote never changes');
END;
-- +goose StatementEnd

-- +goose Down
DROP TABLE quotes;
DROP TABLE quote_revisions;
DROP TABLE quote_series;
