-- Several changes of the book under a name, to be looked at and compared. Nothing of the
-- book rests on them; every keeping and removing is in the change log.

-- +goose Up
CREATE TABLE scenarios (
    name     TEXT COLLATE "C" PRIMARY KEY,
    content  BYTEA NOT NULL,
    kept_at  BIGINT NOT NULL,
    kept_by  TEXT NOT NULL
);

-- +goose Down
DROP TABLE scenarios;
