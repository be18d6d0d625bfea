-- What the documents of quotes with such goods and such a destination differ from, each
-- once, under its SHA-256. A document names its own; older documents are whole.

-- +goose Up
CREATE TABLE quote_patterns (
    hash     BYTEA PRIMARY KEY,
    likeness TEXT NOT NULL,
    whole    BOOLEAN NOT NULL,
    place    BIGINT NOT NULL, -- counts them as they came
    document BYTEA NOT NULL
);
CREATE INDEX quote_patterns_place ON quote_patterns (likeness, place);

CREATE TRIGGER quote_patterns_no_change BEFORE UPDATE OR DELETE OR TRUNCATE ON quote_patterns
    FOR EACH STATEMENT EXECUTE FUNCTION refuse_change('a quote never changes');

-- +goose Down
-- Quotes that differ from one cannot be read any more.
DROP TABLE quote_patterns;
