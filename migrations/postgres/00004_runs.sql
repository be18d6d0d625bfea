-- What runs were asked for, by their names, so that every server of the database
-- can answer for a run that another has begun. Answers are computed again.

-- +goose Up
CREATE TABLE runs (
    id       TEXT COLLATE "C" PRIMARY KEY,
    question BYTEA NOT NULL,
    asked_at BIGINT NOT NULL
);

-- +goose Down
DROP TABLE runs;
