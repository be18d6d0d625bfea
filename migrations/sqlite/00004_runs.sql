-- What runs were asked for, by their names, so that every server of the database
-- can answer for a run that another has begun. Answers are computed again.

-- +goose Up
CREATE TABLE runs (
    id       TEXT PRIMARY KEY,
    question BLOB NOT NULL,
    asked_at INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

-- +goose Down
DROP TABLE runs;
