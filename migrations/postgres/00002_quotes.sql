-- Decimals are unconstrained, so that they keep the digits they came with.

-- +goose Up
CREATE TABLE quote_series (
    series TEXT COLLATE "C" PRIMARY KEY,
    last   BIGINT NOT NULL
);

CREATE TABLE quote_revisions (
    number      TEXT COLLATE "C" NOT NULL,
    revision    BIGINT NOT NULL CHECK (revision > 0),
    customer    TEXT NOT NULL,
    destination TEXT NOT NULL,
    currency    TEXT NOT NULL,
    net         NUMERIC NOT NULL,
    tax         NUMERIC NOT NULL,
    total       NUMERIC NOT NULL,
    valid_until TEXT NOT NULL,
    document    BYTEA NOT NULL,
    hash        BYTEA NOT NULL,
    created_at  BIGINT NOT NULL,
    created_by  TEXT NOT NULL,
    PRIMARY KEY (number, revision)
);

-- The latest revision of every quote, and its state; place counts them as they
-- were issued.
CREATE TABLE quotes (
    number   TEXT COLLATE "C" PRIMARY KEY,
    place    BIGINT NOT NULL UNIQUE,
    revision BIGINT NOT NULL,
    state    TEXT NOT NULL,
    FOREIGN KEY (number, revision) REFERENCES quote_revisions (number, revision)
);

CREATE TRIGGER quote_revisions_no_change BEFORE UPDATE OR DELETE OR TRUNCATE ON quote_revisions
    FOR EACH STATEMENT EXECUTE FUNCTION refuse_change('a quote never changes');

-- +goose Down
DROP TABLE quotes;
DROP TABLE quote_revisions;
DROP TABLE quote_series;
