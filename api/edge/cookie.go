package edge

import "net/http"

// The names of the session cookie. The prefix __Host- makes browsers refuse it
// without TLS, so that plain HTTP on loopback has a name of its own and neither
// is ever taken for the other.
const (
	SecureCookie = "__Host-kerfbook"
	LocalCookie  = "kerfbook-local"
)

func (e *Edge) cookieName() string {
	if e.Config.TLS {
		return SecureCookie
	}
	return LocalCookie
}

// SetSession gives a browser its session.
func (e *Edge) SetSession(w http.ResponseWriter, secret string) {
	http.SetCookie(w, e.cookie(secret, 0))
}

// ClearSession takes it away.
func (e *Edge) ClearSession(w http.ResponseWriter) {
	http.SetCookie(w, e.cookie("", -1))
}

func (e *Edge) cookie(value string, maxAge int) *http.Cookie {
	return &http.Cookie{
		Name: e.cookieName(), Value: value, Path: "/", MaxAge: maxAge,
		// Lax: a link in a message opens the page with its session.
		Secure: e.Config.TLS, HttpOnly: true, SameSite: http.SameSiteLaxMode,
	}
}

// SessionSecret reads the session cookie of a request, "" if there is none.
func (e *Edge) SessionSecret(r *http.Request) string {
	c, err := r.Cookie(e.cookieName())
	if err != nil {
		return ""
	}
	return c.Value
}
