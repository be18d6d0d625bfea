-- What the documents of quotes with such goods and such a destination differ from, each
-- once, under its SHA-256. A document names its own; older documents are whole.

-- +goose Up
CREATE TABLE quote_patterns (
    hash     BLOB PRIMARY KEY,
    likeness TEXT NOT NULL,
    whole    INTEGER NOT NULL CHECK (whole IN (0, 1)),
    place    INTEGER NOT NULL, -- counts them as they came
    document BLOB NOT NULL
) STRICT;
CREATE INDEX quote_patterns_place ON quote_patterns (likeness, place);

-- +goose StatementBegin
CREATE TRIGGER quote_patterns_no_update BEFORE UPDATE ON quote_patterns
BEGIN
    SELECT RAISE(ABORT, 'a quote never changes');
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER quote_patterns_no_delete BEFORE DELETE ON quote_patterns
BEGIN
    SELECT RAISE(ABORT, 'a quote never changes');
END;
-- +goose StatementEnd

-- +goose Down
-- Quotes that differ from one cannot be read any more.
DROP TABLE quote_patterns;
