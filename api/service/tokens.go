package service

import (
	"context"
	"encoding/hex"
	"fmt"
	"time"

	"kerfbook/api/answer"
)

// Token lets a script in.
type Token struct {
	ID       string
	Name     string
	Last4    string // of the secret, to tell tokens apart
	Scopes   Scopes
	Created  time.Time
	Expires  time.Time // zero: never
	LastUsed time.Time // to the minute; zero: never
	Revoked  time.Time // zero: valid
}

// Actor is the token as the change log names it.
func (t Token) Actor() Actor { return Actor{Name: "token " + t.Name, Scopes: t.Scopes} }

// CreateToken makes a token. The secret is not kept and cannot be shown again.
// Nobody gives scopes they do not have.
func (s *Service) CreateToken(ctx context.Context, a Actor, name string, sc Scopes, expires time.Time) (secret string, t Token, err error) {
	if err := s.mayCreate(a, name, sc, expires); err != nil {
		return "", Token{}, err
	}
	text, err := s.newSecret()
	if err != nil {
		return "", Token{}, err
	}
	id, err := s.newSecret()
	if err != nil {
		return "", Token{}, err
	}
	secret = tokenText(text)
	t = Token{ID: id[:16], Name: name, Last4: secret[len(secret)-4:], Scopes: sc, Created: s.clock(), Expires: expires.UTC().Truncate(time.Microsecond)}
	err = s.Update(ctx, func(tx Tx) error {
		stored := StoredToken{t, hashSecret(secret)}
		if err := tx.Access().InsertToken(ctx, stored); err != nil {
			return err
		}
		_, err := s.log(ctx, tx, a, "create token ("+sc.String()+")", tokenObject(t), "", stored.content())
		return err
	})
	if err != nil {
		return "", Token{}, err
	}
	return secret, t, nil
}

func (s *Service) mayCreate(a Actor, name string, sc Scopes, expires time.Time) error {
	if err := a.need(Admin); err != nil {
		return err
	}
	if err := plainName("the name of a token", name); err != nil {
		return err
	}
	if sc == 0 || !AllScopes.Has(sc) {
		return answer.Invalidf("a token needs at least one scope")
	}
	if !expires.IsZero() && !expires.After(s.now()) {
		return answer.Invalidf("the token would have expired already")
	}
	return a.need(sc)
}

// content is the SHA-256 of what must not change about a token behind the log's
// back, in hex: everything but when it was last used.
func (t StoredToken) content() string {
	return hex.EncodeToString(hashOf(fmt.Appendf(nil, "%q %q %q %d %d %d %d %x", t.ID, t.Name, t.Last4, t.Scopes,
		micros(t.Created), micros(t.Expires), micros(t.Revoked), t.Hash)))
}

// micros is zero for no time.
func micros(t time.Time) int64 {
	if t.IsZero() {
		return 0
	}
	return t.UnixMicro()
}

func tokenObject(t Token) string { return "tokens/" + t.ID + " " + t.Name }

// TokenOf gives the token of a secret, and the version of the book at that moment.
func (s *Service) TokenOf(ctx context.Context, secret string) (Token, answer.Version, error) {
	if !isToken(secret) {
		return Token{}, "", badToken()
	}
	hash, now := hashSecret(secret), s.clock()
	found, book, err := s.store.TokenByHash(ctx, hash)
	switch {
	case answer.CodeOf(err) == answer.NotFound:
		return Token{}, "", badToken()
	case err != nil:
		return Token{}, "", answer.Unexpected(err)
	case !sameHash(hash, found.Hash) || !found.Revoked.IsZero() || !found.Expires.IsZero() && !now.Before(found.Expires):
		return Token{}, "", badToken()
	}
	if now.Sub(found.LastUsed) < seenEvery {
		return found.Token, book, nil
	}
	found.LastUsed = now
	return found.Token, book, s.touch(ctx, func(tx Tx) error { return tx.Access().TouchToken(ctx, found.ID, now) })
}

// badToken says the same whatever is wrong with a token.
func badToken() error {
	return answer.Errorf(answer.Unauthorized, "the token is not known, has expired or was revoked")
}

// Tokens lists all tokens, those revoked too.
func (s *Service) Tokens(ctx context.Context) ([]Token, error) {
	out := []Token{}
	err := s.view(ctx, func(tx Tx) error {
		list, err := tx.Access().Tokens(ctx)
		for _, t := range list {
			out = append(out, t.Token)
		}
		return err
	})
	return out, err
}

// RevokeToken ends a token at once; one that is revoked stays so.
func (s *Service) RevokeToken(ctx context.Context, a Actor, id string) error {
	if err := a.need(Admin); err != nil {
		return err
	}
	return s.Update(ctx, func(tx Tx) error {
		t, err := tx.Access().Token(ctx, id)
		if err != nil || !t.Revoked.IsZero() {
			return err
		}
		before := t.content()
		t.Revoked = s.clock()
		if err := tx.Access().RevokeToken(ctx, id, t.Revoked); err != nil {
			return err
		}
		_, err = s.log(ctx, tx, a, "revoke token", tokenObject(t.Token), before, t.content())
		return err
	})
}
