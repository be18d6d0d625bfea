package store

import (
	"context"
	"time"

	"kerfbook/api/answer"
	"kerfbook/api/service"
)

type access struct{ *tx }

func (a access) InsertLink(ctx context.Context, l service.StoredLink) error {
	_, err := a.exec(ctx, "the link", "INSERT INTO sign_in_links (hash, person, created_at, expires_at, spent_at) VALUES ($1, $2, $3, $4, $5)",
		l.Hash, l.Person, at(l.Created), at(l.Expires), at(l.Spent))
	return err
}

func (a access) Links(ctx context.Context) ([]service.StoredLink, error) {
	return list(ctx, a.tx, func(s scanner, l *service.StoredLink) error {
		return s.Scan(&l.Hash, &l.Person, moment{&l.Created}, moment{&l.Expires}, moment{&l.Spent})
	}, "SELECT hash, person, created_at, expires_at, spent_at FROM sign_in_links ORDER BY created_at, hash")
}

func (a access) SpendLink(ctx context.Context, hash []byte, now time.Time) (person string, err error) {
	changed, err := a.exec(ctx, "the link",
		"UPDATE sign_in_links SET spent_at = $1 WHERE hash = $2 AND spent_at = 0 AND expires_at > $1", at(now), hash)
	if err != nil {
		return "", err
	}
	err = a.row(ctx, "such link", func(s scanner) error { return s.Scan(&person) },
		"SELECT person FROM sign_in_links WHERE hash = $1", hash)
	if err != nil || changed == 1 {
		return person, err
	}
	return "", &answer.Error{Code: answer.Gone, Message: "this link was used before or is too old; ask for a new one"}
}

func (a access) InsertSession(ctx context.Context, s service.StoredSession) error {
	_, err := a.exec(ctx, "the session",
		"INSERT INTO sessions (hash, person, name, scopes, created_at, seen_at, expires_at) VALUES ($1, $2, $3, $4, $5, $6, $7)",
		s.Hash, s.Person, s.Name, int64(s.Scopes), at(s.Created), at(s.Seen), at(s.Expires))
	return err
}

func (a access) Session(ctx context.Context, hash []byte) (service.StoredSession, error) {
	return one(ctx, a.tx, "such session", scanSession, sessionSelect+" WHERE hash = $1", hash)
}

const sessionSelect = "SELECT hash, person, name, scopes, created_at, seen_at, expires_at FROM sessions"

func scanSession(s scanner, v *service.StoredSession) error {
	return s.Scan(&v.Hash, &v.Person, &v.Name, &v.Scopes, moment{&v.Created}, moment{&v.Seen}, moment{&v.Expires})
}

func (a access) Sessions(ctx context.Context) ([]service.StoredSession, error) {
	return list(ctx, a.tx, scanSession, sessionSelect+" ORDER BY created_at, hash")
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

const (
	tokenColumns = "id, name, hash, last4, scopes, created_at, expires_at, last_used_at, revoked_at"
	tokenSelect  = "SELECT " + tokenColumns + " FROM tokens"
	tokenByHash  = "SELECT (" + bookVersion + "), " + tokenColumns + " FROM tokens WHERE hash = $1"
)

func scanToken(s scanner, t *service.StoredToken) error { return s.Scan(tokenInto(t)...) }

func tokenInto(t *service.StoredToken) []any {
	return []any{&t.ID, &t.Name, &t.Hash, &t.Last4, &t.Scopes, moment{&t.Created}, moment{&t.Expires}, moment{&t.LastUsed}, moment{&t.Revoked}}
}

func (a access) Token(ctx context.Context, id string) (service.StoredToken, error) {
	return one(ctx, a.tx, "token "+id, scanToken, tokenSelect+" WHERE id = $1", id)
}

func (a access) Tokens(ctx context.Context) ([]service.StoredToken, error) {
	return list(ctx, a.tx, scanToken, tokenSelect+" ORDER BY created_at, id")
}

func (a access) TouchToken(ctx context.Context, id string, now time.Time) error {
	_, err := a.exec(ctx, "the token", "UPDATE tokens SET last_used_at = $1 WHERE id = $2 AND last_used_at < $1", at(now), id)
	return err
}

func (a access) RevokeToken(ctx context.Context, id string, now time.Time) error {
	_, err := a.exec(ctx, "the token", "UPDATE tokens SET revoked_at = $1 WHERE id = $2 AND revoked_at = 0", at(now), id)
	return err
}

func (a access) People(ctx context.Context) ([]service.Person, error) {
	return list(ctx, a.tx, func(s scanner, p *service.Person) error {
		return s.Scan(&p.ID, &p.Name, &p.Role, moment{&p.Created}, moment{&p.ShutOut})
	}, "SELECT id, name, role, created_at, shut_out_at FROM people ORDER BY created_at, id")
}

func (a access) PutPerson(ctx context.Context, p service.Person) error {
	_, err := a.exec(ctx, "a person called "+p.Name, `INSERT INTO people (id, name, role, created_at, shut_out_at) VALUES ($1, $2, $3, $4, $5)
		ON CONFLICT (id) DO UPDATE SET name = excluded.name, role = excluded.role, shut_out_at = excluded.shut_out_at`,
		p.ID, p.Name, string(p.Role), at(p.Created), at(p.ShutOut))
	return err
}

func (a access) Forget(ctx context.Context, before time.Time) error {
	if _, err := a.exec(ctx, "old links", "DELETE FROM sign_in_links WHERE expires_at < $1", at(before)); err != nil {
		return err
	}
	_, err := a.exec(ctx, "old sessions", "DELETE FROM sessions WHERE expires_at < $1", at(before))
	return err
}
