package service

import (
	"context"
	"crypto/subtle"
	"encoding/hex"
	"fmt"
	"time"

	"kerfbook/api/answer"
)

// LinkLife is how long a sign-in link may wait.
const LinkLife = 15 * time.Minute

// How long access lasts.
const (
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

// NewSignInLink makes the secret of a link that signs somebody in once within 15 minutes:
// the first person with all rights.
func (s *Service) NewSignInLink(ctx context.Context) (secret string, err error) {
	return s.NewLinkFor(ctx, Actor{Name: consoleName, Scopes: AllScopes}, "")
}

// NewLinkFor makes one for the person of a name.
func (s *Service) NewLinkFor(ctx context.Context, a Actor, name string) (secret string, err error) {
	if err := a.need(Admin); err != nil {
		return "", err
	}
	if secret, err = s.newSecret(); err != nil {
		return "", err
	}
	now := s.clock()
	err = s.Update(ctx, func(tx Tx) error {
		if err := tx.Access().Forget(ctx, now); err != nil {
			return err
		}
		p, err := linked(ctx, tx, name)
		if err != nil {
			return err
		}
		link := StoredLink{Hash: hashSecret(secret), Person: p.ID, Created: now, Expires: now.Add(LinkLife)}
		if err := tx.Access().InsertLink(ctx, link); err != nil {
			return err
		}
		_, err = s.logAt(ctx, tx, now, a, "make sign-in link", linkObject(link.Hash), "", link.content())
		return err
	})
	return secret, err
}

// linkObject and sessionObject name a link and a session in the log by the
// beginning of the hash of their secret.
func linkObject(hash []byte) string    { return linkPrefix + hex.EncodeToString(hash)[:16] }
func sessionObject(hash []byte) string { return sessionPrefix + hex.EncodeToString(hash)[:16] }

const (
	linkPrefix    = "sign-in-links/"
	sessionPrefix = "sessions/"
)

// content is the SHA-256 of what must not change about a link behind the log's
// back, in hex; that it is spent is logged by itself.
func (l StoredLink) content() string {
	return hex.EncodeToString(hashOf(ofPerson(fmt.Appendf(nil, "%x %d %d", l.Hash, micros(l.Created), micros(l.Expires)), l.Person)))
}

// content is the same of a session: everything but when it was last seen.
func (s StoredSession) content() string {
	return hex.EncodeToString(hashOf(ofPerson(fmt.Appendf(nil, "%x %q %d %d %d", s.Hash, s.Name, s.Scopes, micros(s.Created), micros(s.Expires)), s.Person)))
}

// ofPerson adds whose it is. What is nobody's has the form of before there were people.
func ofPerson(content []byte, person string) []byte {
	if person == "" {
		return content
	}
	return fmt.Appendf(content, " %q", person)
}

// SignIn spends a link and opens a session; the cookie is its secret.
func (s *Service) SignIn(ctx context.Context, secret string) (Session, string, error) {
	if len(secret) != secretText {
		return Session{}, "", answer.Errorf(answer.Unauthorized, "this is no sign-in link of ours")
	}
	cookie, err := s.newSecret()
	if err != nil {
		return Session{}, "", err
	}
	now := s.clock()
	session := Session{Created: now, Seen: now, Expires: now.Add(sessionLife)}
	err = s.Update(ctx, func(tx Tx) error {
		person, err := tx.Access().SpendLink(ctx, hashSecret(secret), now)
		if err != nil {
			return unknownLink(err)
		}
		if session.Actor, err = visitor(ctx, tx, person); err != nil {
			return err
		}
		stored := StoredSession{Hash: hashSecret(cookie), Person: person, Name: session.Name, Scopes: session.Scopes,
			Created: now, Seen: now, Expires: session.Expires}
		if err := tx.Access().InsertSession(ctx, stored); err != nil {
			return err
		}
		if _, err := s.logAt(ctx, tx, now, session.Actor, "use sign-in link", linkObject(hashSecret(secret)), "", ""); err != nil {
			return err
		}
		_, err = s.logAt(ctx, tx, now, session.Actor, "sign in", sessionObject(stored.Hash), "", stored.content())
		return err
	})
	if err != nil {
		return Session{}, "", err
	}
	return session, cookie, nil
}

// visitor is whom a link or session lets in, as the person is now.
func visitor(ctx context.Context, tx Tx, id string) (Actor, error) {
	if id == "" {
		return Actor{Name: machineName, Scopes: AllScopes}, nil
	}
	all, err := tx.Access().People(ctx)
	for _, p := range all {
		if p.ID == id && p.ShutOut.IsZero() {
			return p.actor(), nil
		}
	}
	if err == nil {
		err = signedOut()
	}
	return Actor{}, err
}

func unknownLink(err error) error {
	if answer.CodeOf(err) == answer.NotFound {
		return answer.Errorf(answer.Unauthorized, "this is no sign-in link of ours")
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
	var who Actor
	err := s.view(ctx, func(tx Tx) (err error) {
		if found, err = tx.Access().Session(ctx, hash); err != nil {
			return err
		}
		if who = (Actor{Name: found.Name, Scopes: found.Scopes}); found.Person != "" {
			who, err = visitor(ctx, tx, found.Person)
		}
		return err
	})
	switch {
	case answer.CodeOf(err) == answer.NotFound:
		return Session{}, signedOut()
	case err != nil:
		return Session{}, err
	case !now.Before(found.Expires) || now.Sub(found.Seen) >= sessionIdle:
		return Session{}, signedOut()
	}
	session := Session{who, found.Created, found.Seen, found.Expires}
	if now.Sub(found.Seen) < seenEvery {
		return session, nil
	}
	session.Seen = now
	return session, s.touch(ctx, func(tx Tx) error { return tx.Access().TouchSession(ctx, hash, now) })
}

// touch notes a use. A store that is too busy to take the note, or cannot write,
// turns nobody away.
func (s *Service) touch(ctx context.Context, note func(Tx) error) error {
	err := s.Update(ctx, note)
	if code := answer.CodeOf(err); code.Server() && code != answer.Internal {
		return nil
	}
	return err
}

func signedOut() error {
	return answer.Errorf(answer.Unauthorized, "not signed in, or signed in too long ago")
}

// SignOut ends a session; one that has ended already is no error.
func (s *Service) SignOut(ctx context.Context, cookie string) error {
	hash := hashSecret(cookie)
	return s.Update(ctx, func(tx Tx) error {
		found, err := tx.Access().Session(ctx, hash)
		if answer.CodeOf(err) == answer.NotFound {
			return nil
		}
		if err == nil {
			err = tx.Access().DeleteSession(ctx, hash)
		}
		if err == nil {
			_, err = s.log(ctx, tx, Actor{Name: found.Name}, "sign out", sessionObject(hash), found.content(), "")
		}
		return err
	})
}

// sameHash compares hashes in a time that tells nothing about them.
func sameHash(a, b []byte) bool { return subtle.ConstantTimeCompare(a, b) == 1 }
