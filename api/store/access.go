package store

import (
	"context"
	"time"

	"kerfbook/api/answer"
	"kerfbook/api/service"
)

type access struct{ *tx }

func (a access) InsertLink(ctx context.Context, l service.StoredLink) error {
	_, err := a.exec(ctx, "the link", "INSERT INTO sign_in_links (hash, created_at, expires_at, spent_at) VALUES ($1, $2, $3, $4)",
		l.Hash, at(l.Created), at(l.Expires), at(l.Spent))
	return err
}

func (a access) Links(ctx context.Context) (out []service.StoredLink, err error) {
	err = a.each(ctx, func(s scanner) error {
		var l service.StoredLink
		err := s.Scan(&l.Hash, moment{&l.Created}, moment{&l.Expires}, moment{&l.Spent})
		out = append(out, l)
		return err
	}, "SELECT hash, created_at, expires_at, spent_at FROM sign_in_links ORDER BY created_at, hash")
	return out, err
}

func (a access) SpendLink(ctx context.Context, hash []byte, now time.Time) error {
	changed, err := a.exec(ctx, "the link",
		"UPDATE sign_in_links SET spent_at = $1 WHERE hash = $2 AND spent_at = 0 AND expires_at > $1", at(now), hash)
	if err != nil || changed == 1 {
		return err
	}
	var expires time.Time
	err = a.row(ctx, "such link", func(s scanner) error { return s.Scan(moment{&expires}) },
		"SELECT expires_at FROM sign_in_links WHERE hash = $1", hash)
	if err != nil {
		return err
	}
	return &answer.Error{Code: answer.Gone, Message: "this link was used before or is too old; ask for a new one"}
}

func (a access) InsertSession(ctx context.Context, s service.StoredSession) error {
	_, err := a.exec(ctx, "the session",
		"INSERT INTO sessions (hash, name, scopes, created_at, seen_at, expires_at) VALUES ($1, $2, $3, $4, $5, $6)",
		s.Hash, s.Name, int64(s.Scopes), at(s.Created), at(s.Seen), at(s.Expires))
	return err
}

func (a access) Session(ctx context.Context, hash []byte) (one service.StoredSession, err error) {
	err = a.row(ctx, "such session", func(s scanner) error { return scanSession(s, &one) }, sessionSelect+" WHERE hash = $1", hash)
	return one, err
}

const sessionSelect = "SELECT hash, name, scopes, created_at, seen_at, expires_at FROM sessions"

func scanSession(s scanner, one *service.StoredSession) error {
	return s.Scan(&one.Hash, &one.Name, &one.Scopes, moment{&one.Created}, moment{&one.Seen}, moment{&one.Expires})
}

func (a access) Sessions(ctx context.Context) (out []service.StoredSession, err error) {
	err = a.each(ctx, func(s scanner) error {
		var one service.StoredSession
		err := scanSession(s, &one)
		out = append(out, one)
		return err
	}, sessionSelect+" ORDER BY created_at, hash")
	return out, err
}

func (a access) TouchSession(ctx context.Context, hash []byte, now time.Time) error {
	_, err := a.exec(ctx, "the session", "UPDATE sessions SET seen_at = $1 WHERE hash = $2 AND seen_at < $1", at(now), hash)
	return err
}

func (a access) DeleteSession(ctx context.Context, hash []byte) error {
	_, err := a.exec(ctx, "the session", "DELETE FROM sessions WHERE hash = $1", hash)
	return err
}

func (a access) InsertToken(ctx context.Context, t service.StoredToken) error {
	_, err := a.exec(ctx, "a token with the name "+t.Name,
		`INSERT INTO tokens (id, name, hash, last4, scopes, created_at, expires_at, last_used_at, revoked_at)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
		t.ID, t.Name, t.Hash, t.Last4, int64(t.Scopes), at(t.Created), at(t.Expires), at(t.LastUsed), at(t.Revoked))
	return err
}

const tokenSelect = "SELECT id, name, hash, last4, scopes, created_at, expires_at, last_used_at, revoked_at FROM tokens"

func scanToken(s scanner, t *service.StoredToken) error {
	return s.Scan(&t.ID, &t.Name, &t.Hash, &t.Last4, &t.Scopes, moment{&t.Created}, moment{&t.Expires}, moment{&t.LastUsed}, moment{&t.Revoked})
}

const tokenByHash = tokenSelect + " WHERE hash = $1"

func (a access) TokenByHash(ctx context.Context, hash []byte) (t service.StoredToken, err error) {
	err = a.row(ctx, "such token", func(s scanner) error { return scanToken(s, &t) }, tokenByHash, hash)
	return t, err
}

func (a access) Token(ctx context.Context, id string) (t service.StoredToken, err error) {
	err = a.row(ctx, "token "+id, func(s scanner) error { return scanToken(s, &t) }, tokenSelect+" WHERE id = $1", id)
	return t, err
}

func (a access) Tokens(ctx context.Context) (out []service.StoredToken, err error) {
	err = a.each(ctx, func(s scanner) error {
		var t service.StoredToken
		err := scanToken(s, &t)
		out = append(out, t)
		return err
	}, tokenSelect+" ORDER BY created_at, id")
	return out, err
}

func (a access) TouchToken(ctx context.Context, id string, now time.Time) error {
	_, err := a.exec(ctx, "the token", "UPDATE tokens SET last_used_at = $1 WHERE id = $2 AND last_used_at < $1", at(now), id)
	return err
}

func (a access) RevokeToken(ctx context.Context, id string, now time.Time) error {
	_, err := a.exec(ctx, "the token", "UPDATE tokens SET revoked_at = $1 WHERE id = $2 AND revoked_at = 0", at(now), id)
	return err
}

func (a access) Forget(ctx context.Context, before time.Time) error {
	if _, err := a.exec(ctx, "old links", "DELETE FROM sign_in_links WHERE expires_at < $1", at(before)); err != nil {
		return err
	}
	_, err := a.exec(ctx, "old sessions", "DELETE FROM sessions WHERE expires_at < $1", at(before))
	return err
}
