-- Secrets are not kept, only their hashes. 0 as a time means never.

-- +goose Up
CREATE TABLE sign_in_links (
    hash       BYTEA PRIMARY KEY,
    created_at BIGINT NOT NULL,
    expires_at BIGINT NOT NULL,
    spent_at   BIGINT NOT NULL
);

CREATE TABLE sessions (
    hash       BYTEA PRIMARY KEY,
    name       TEXT NOT NULL,
    scopes     BIGINT NOT NULL,
    created_at BIGINT NOT NULL,
    seen_at    BIGINT NOT NULL,
    expires_at BIGINT NOT NULL
);

CREATE TABLE tokens (
    id           TEXT COLLATE "C" PRIMARY KEY,
    name         TEXT NOT NULL,
    hash         BYTEA NOT NULL UNIQUE,
    last4        TEXT NOT NULL,
    scopes       BIGINT NOT NULL,
    created_at   BIGINT NOT NULL,
    expires_at   BIGINT NOT NULL,
    last_used_at BIGINT NOT NULL,
    revoked_at   BIGINT NOT NULL
);
CREATE UNIQUE INDEX tokens_name ON tokens (name) WHERE revoked_at = 0;

CREATE TABLE idempotency_keys (
    actor       TEXT COLLATE "C" NOT NULL,
    key         TEXT COLLATE "C" NOT NULL,
    fingerprint BYTEA NOT NULL,
    status      BIGINT NOT NULL,
    body        BYTEA NOT NULL,
    answered_at BIGINT NOT NULL,
    PRIMARY KEY (actor, key)
);
CREATE INDEX idempotency_keys_answered_at ON idempotency_keys (answered_at);

-- +goose Down
DROP TABLE idempotency_keys;
DROP TABLE tokens;
DROP TABLE sessions;
DROP TABLE sign_in_links;
