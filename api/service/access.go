package service

import (
	"context"
	"crypto/subtle"
	"time"
)

// How long access lasts.
const (
	linkLife    = 15 * time.Minute
	sessionIdle = 30 * time.Minute
	sessionLife = 8 * time.Hour
	// seenEvery is how exactly the last use of a session or token is kept, so
	// that not every request writes.
	seenEvery = time.Minute
)

// Session is a signed-in browser.
type Session struct {
	Actor
	Created time.Time
	Seen    time.Time
	Expires time.Time // whatever is done until then
}

// NewSignInLink makes the secret of a link that signs the maker in once within
// 15 minutes.
func (s *Service) NewSignInLink(ctx context.Context) (secret string, err error) {
	if secret, err = s.newSecret(); err != nil {
		return "", err
	}
	now := s.clock()
	err = s.update(ctx, func(tx Tx) error {
		if err := tx.Access().Forget(ctx, now); err != nil {
			return err
		}
		return tx.Access().InsertLink(ctx, hashSecret(secret), now, now.Add(linkLife))
	})
	return secret, err
}

// SignIn spends a link and opens a session; the cookie is its secret.
func (s *Service) SignIn(ctx context.Context, secret string) (Session, string, error) {
	if len(secret) != secretText {
		return Session{}, "", newError(Unauthorized, "this is no sign-in link of ours")
	}
	cookie, err := s.newSecret()
	if err != nil {
		return Session{}, "", err
	}
	now := s.clock()
	session := Session{Actor: Actor{Name: "maker", Scopes: AllScopes}, Created: now, Seen: now, Expires: now.Add(sessionLife)}
	err = s.update(ctx, func(tx Tx) error {
		if err := tx.Access().SpendLink(ctx, hashSecret(secret), now); err != nil {
			return unknownLink(err)
		}
		if _, err := s.log(ctx, tx, session.Actor, "sign in", "sessions", "", ""); err != nil {
			return err
		}
		return tx.Access().InsertSession(ctx, StoredSession{Hash: hashSecret(cookie), Name: session.Name, Scopes: session.Scopes,
			Created: now, Seen: now, Expires: session.Expires})
	})
	if err != nil {
		return Session{}, "", err
	}
	return session, cookie, nil
}

func unknownLink(err error) error {
	if CodeOf(err) == NotFound {
		return newError(Unauthorized, "this is no sign-in link of ours")
	}
	return err
}

// SessionOf gives the session of a cookie and keeps it from going idle.
func (s *Service) SessionOf(ctx context.Context, cookie string) (Session, error) {
	if len(cookie) != secretText {
		return Session{}, signedOut()
	}
	hash, now := hashSecret(cookie), s.clock()
	var found StoredSession
	err := s.view(ctx, func(tx Tx) (err error) {
		found, err = tx.Access().Session(ctx, hash)
		return err
	})
	switch {
	case CodeOf(err) == NotFound:
		return Session{}, signedOut()
	case err != nil:
		return Session{}, err
	case !now.Before(found.Expires) || now.Sub(found.Seen) >= sessionIdle:
		return Session{}, signedOut()
	}
	session := Session{Actor{found.Name, found.Scopes}, found.Created, found.Seen, found.Expires}
	if now.Sub(found.Seen) < seenEvery {
		return session, nil
	}
	session.Seen = now
	return session, s.touch(ctx, func(tx Tx) error { return tx.Access().TouchSession(ctx, hash, now) })
}

// touch notes a use. A store that is too busy to take the note, or cannot write,
// turns nobody away.
func (s *Service) touch(ctx context.Context, note func(Tx) error) error {
	err := s.update(ctx, note)
	if code := CodeOf(err); code.Server() && code != Internal {
		return nil
	}
	return err
}

func signedOut() error { return newError(Unauthorized, "not signed in, or signed in too long ago") }

// SignOut ends a session; one that has ended already is no error.
func (s *Service) SignOut(ctx context.Context, cookie string) error {
	return s.update(ctx, func(tx Tx) error { return tx.Access().DeleteSession(ctx, hashSecret(cookie)) })
}

// sameHash compares hashes in a time that tells nothing about them.
func sameHash(a, b []byte) bool { return subtle.ConstantTimeCompare(a, b) == 1 }
