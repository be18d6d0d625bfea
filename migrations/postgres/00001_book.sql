-- Times are microseconds since 1970 UTC. Hashes are SHA-256.

-- +goose Up
CREATE TABLE book_state (
    id      BIGINT PRIMARY KEY CHECK (id = 1),
    version TEXT NOT NULL -- of the book; empty while there is none
);
INSERT INTO book_state (id, version) VALUES (1, '');

CREATE TABLE record_revisions (
    kind       TEXT COLLATE "C" NOT NULL,
    id         TEXT COLLATE "C" NOT NULL,
    revision   BIGINT NOT NULL CHECK (revision > 0),
    name       TEXT NOT NULL,
    body       TEXT NOT NULL,
    hash       BYTEA NOT NULL,
    deleted    BOOLEAN NOT NULL,
    changed_at BIGINT NOT NULL,
    changed_by TEXT NOT NULL,
    PRIMARY KEY (kind, id, revision)
);

-- The current revision of every record, and where it stands in its list.
CREATE TABLE record_heads (
    kind     TEXT COLLATE "C" NOT NULL,
    id       TEXT COLLATE "C" NOT NULL,
    revision BIGINT NOT NULL,
    position BIGINT NOT NULL,
    deleted  BOOLEAN NOT NULL,
    PRIMARY KEY (kind, id),
    FOREIGN KEY (kind, id, revision) REFERENCES record_revisions (kind, id, revision)
);

CREATE TABLE change_log (
    seq         BIGINT PRIMARY KEY CHECK (seq > 0),
    at          BIGINT NOT NULL,
    actor       TEXT COLLATE "C" NOT NULL,
    action      TEXT NOT NULL,
    object      TEXT NOT NULL,
    before_hash TEXT NOT NULL,
    after_hash  TEXT NOT NULL,
    prev_hash   BYTEA NOT NULL,
    hash        BYTEA NOT NULL
);

-- +goose StatementBegin
CREATE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION '%', TG_ARGV[0];
END;
$$;
-- +goose StatementEnd
CREATE TRIGGER record_revisions_no_change BEFORE UPDATE OR DELETE OR TRUNCATE ON record_revisions
    FOR EACH STATEMENT EXECUTE FUNCTION refuse_change('a revision never changes');
CREATE TRIGGER change_log_no_change BEFORE UPDATE OR DELETE OR TRUNCATE ON change_log
    FOR EACH STATEMENT EXECUTE FUNCTION refuse_change('the change log only grows');

-- +goose Down
DROP TABLE change_log;
DROP TABLE record_heads;
DROP TABLE record_revisions;
DROP TABLE book_state;
DROP FUNCTION refuse_change();
