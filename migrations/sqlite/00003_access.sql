-- Secrets are not kept, only their hashes. 0 as a time means never.

-- +goose Up
CREATE TABLE sign_in_links (
    hash       BLOB PRIMARY KEY,
    created_at INTEGER NOT NULL,
    expires_at INTEGER NOT NULL,
    spent_at   INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE sessions (
    hash       BLOB PRIMARY KEY,
    name       TEXT NOT NULL,
    scopes     INTEGER NOT NULL,
    created_at INTEGER NOT NULL,
    seen_at    INTEGER NOT NULL,
    expires_at INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE tokens (
    id           TEXT PRIMARY KEY,
    name         TEXT NOT NULL,
    hash         BLOB NOT NULL UNIQUE,
    last4        TEXT NOT NULL,
    scopes       INTEGER NOT NULL,
    created_at   INTEGER NOT NULL,
    expires_at   INTEGER NOT NULL,
    last_used_at INTEGER NOT NULL,
    revoked_at   INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
CREATE UNIQUE INDEX tokens_name ON tokens (name) WHERE revoked_at = 0;

CREATE TABLE idempotency_keys (
    actor       TEXT NOT NULL,
    key         TEXT NOT NULL,
    fingerprint BLOB NOT NULL,
    status      INTEGER NOT NULL,
    body        BLOB NOT NULL,
    answered_at INTEGER NOT NULL,
    PRIMARY KEY (actor, key)
) STRICT, WITHOUT ROWID;
CREATE INDEX idempotency_keys_answered_at ON idempotency_keys (answered_at);

-- +goose Down
DROP TABLE idempotency_keys;
DROP TABLE tokens;
DROP TABLE sessions;
DROP TABLE sign_in_links;
