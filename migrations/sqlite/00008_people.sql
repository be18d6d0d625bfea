-- Who works in the shop. A link or a session without a person is that of whoever has the
-- machine. 0 as a time means never.

-- +goose Up
CREATE TABLE people (
    id          TEXT PRIMARY KEY,
    name        TEXT NOT NULL UNIQUE,
    role        TEXT NOT NULL,
    created_at  INTEGER NOT NULL,
    shut_out_at INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
ALTER TABLE sign_in_links ADD COLUMN person TEXT NOT NULL DEFAULT '';
ALTER TABLE sessions ADD COLUMN person TEXT NOT NULL DEFAULT '';

-- +goose Down
-- What a person was let in for ends with the person.
DELETE FROM sessions WHERE person <> '';
DELETE FROM sign_in_links WHERE person <> '';
ALTER TABLE sessions DROP COLUMN person;
ALTER TABLE sign_in_links DROP COLUMN person;
DROP TABLE people;
