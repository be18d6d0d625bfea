-- Several changes of the book under a name, to be looked at and compared. Nothing of the
-- book rests on them; every keeping and removing is in the change log.

-- +goose Up
CREATE TABLE scenarios (
    name     TEXT PRIMARY KEY,
    content  BLOB NOT NULL,
    kept_at  INTEGER NOT NULL,
    kept_by  TEXT NOT NULL
) STRICT, WITHOUT ROWID;

-- +goose Down
DROP TABLE scenarios;
