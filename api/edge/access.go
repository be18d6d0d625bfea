package edge

import (
	"context"
	"errors"
	"net"
	"net/http"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/api/service"
)

// Accounts tells who holds a token or a session.
type Accounts interface {
	TokenOf(ctx context.Context, secret string) (service.Token, answer.Version, error)
	SessionOf(ctx context.Context, cookie string) (service.Session, error)
}

// Caller finds who sent a request: by its token, or else by its session. A token
// is taken from the header only and works without cookies; a request with a
// wrong token is refused even where a session would do.
func (e *Edge) Caller(r *http.Request) (service.Actor, error) {
	if h := r.Header.Get("Authorization"); h != "" {
		return e.byToken(r, h)
	}
	secret := e.SessionSecret(r)
	if secret == "" {
		return service.Actor{}, unauthorized()
	}
	s, err := e.accounts.SessionOf(r.Context(), secret)
	if err != nil {
		return service.Actor{}, denied(err)
	}
	return e.recognised(r, s.Actor), nil
}

func (e *Edge) byToken(r *http.Request, header string) (service.Actor, error) {
	scheme, secret, _ := strings.Cut(header, " ")
	if !strings.EqualFold(scheme, "Bearer") || secret == "" {
		return service.Actor{}, unauthorized()
	}
	client := RequestOf(r.Context()).Client
	t, book, err := e.accounts.TokenOf(r.Context(), strings.TrimSpace(secret))
	if err == nil {
		a := t.Actor()
		a.Book = book
		return e.recognised(r, a), nil
	}
	err = denied(err)
	if FailureOf(err).Kind != Unauthorized {
		return service.Actor{}, err
	}
	// A right token is never made to wait: it cannot be guessed, and whoever
	// shares an address with a broken script should not suffer for it.
	if wait := e.Attempts.Wait(client); wait > 0 {
		return service.Actor{}, &Refusal{Kind: TooMany, Detail: "too many wrong attempts from this address; try again in " + seconds(wait) + " s", Wait: wait}
	}
	e.Attempts.Failed(client)
	return service.Actor{}, err
}

func (e *Edge) recognised(r *http.Request, a service.Actor) service.Actor {
	RequestOf(r.Context()).Actor = a.Name
	return a
}

// denied hides why a secret is not taken: unknown, expired, revoked and spent
// all look the same.
func denied(err error) error {
	var known *answer.Error
	if errors.As(err, &known) && (known.Code == answer.Unauthorized || known.Code == answer.NotFound || known.Code == answer.Gone) {
		return unauthorized()
	}
	return err
}

// The names of the session cookie. The prefix __Host- makes browsers refuse it
// without TLS, so that plain HTTP on loopback has a name of its own and neither
// is ever taken for the other. The port follows the local name: browsers keep
// cookies by host alone, and a shop beside the demo would sign it out.
const (
	SecureCookie = "__Host-kerfbook"
	LocalCookie  = "kerfbook-local-"
)

func (e *Edge) cookieName(r *http.Request) string {
	if e.Config.TLS {
		return SecureCookie
	}
	_, port, _ := net.SplitHostPort(r.Host) // none, where a proxy ends at the usual one
	return LocalCookie + port
}

// SetSession gives a browser its session.
func (e *Edge) SetSession(w http.ResponseWriter, r *http.Request, secret string) {
	http.SetCookie(w, e.cookie(r, secret, 0))
}

// ClearSession takes it away.
func (e *Edge) ClearSession(w http.ResponseWriter, r *http.Request) {
	http.SetCookie(w, e.cookie(r, "", -1))
}

func (e *Edge) cookie(r *http.Request, value string, maxAge int) *http.Cookie {
	return &http.Cookie{
		Name: e.cookieName(r), Value: value, Path: "/", MaxAge: maxAge,
		// Lax: a link in a message opens the page with its session.
		Secure: e.Config.TLS, HttpOnly: true, SameSite: http.SameSiteLaxMode,
	}
}

// SessionSecret reads the session cookie of a request, "" if there is none.
func (e *Edge) SessionSecret(r *http.Request) string {
	c, err := r.Cookie(e.cookieName(r))
	if err != nil {
		return ""
	}
	return c.Value
}
