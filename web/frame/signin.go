package frame

import (
	"net/http"
	"net/url"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/api/edge"
)

// signInBody is the page that spends a link.
type signInBody struct {
	Secret string // of the link that was opened; empty without one
	Field  Field
	Plain  bool // over plain HTTP
}

// AtOnce behind a sign-in link makes the page spend it without a press, where it has
// scripts: for a browser that the program itself opens.
const AtOnce = "#at-once"

// SignInPath gives the address of a sign-in link below the origin of the server.
func SignInPath(secret string) string { return "/sign-in?link=" + url.QueryEscape(secret) }

// signInForm shows a button and spends nothing, so that programs that open links
// in messages do not use them up.
func (s *Site) signInForm(w http.ResponseWriter, r *http.Request) {
	if _, ok, _ := s.who(r); ok && r.URL.Query().Get("link") == "" {
		http.Redirect(w, r, "/", http.StatusSeeOther)
		return
	}
	s.showSignIn(w, r, http.StatusOK, r.URL.Query().Get("link"), nil)
}

func (s *Site) showSignIn(w http.ResponseWriter, r *http.Request, status int, secret string, found Problems) {
	body := signInBody{Secret: secret, Plain: !s.Edge.Config.TLS, Field: Field{
		Name: "link", Label: "Link or its code", Wide: true, Error: found.Of("link"),
		Hint: "Paste the whole link or the code at its end.",
	}}
	p := Page{Title: "Sign in", Problems: found, Body: body, Secret: true}
	if err := s.show(w, r, status, "signin", p); err != nil {
		s.tell(w, r, s.Edge.Explain(r, err))
	}
}

// signIn spends the link and opens a session.
func (s *Site) signIn(w http.ResponseWriter, r *http.Request) {
	info := edge.RequestOf(r.Context())
	r.Body = http.MaxBytesReader(w, r.Body, s.Edge.Config.BodyLimit)
	session, cookie, err := s.Service.SignIn(r.Context(), linkSecret(r.PostFormValue("link")))
	switch code := answer.CodeOf(err); {
	case err == nil:
		s.Edge.Attempts.Succeeded(info.Client)
		info.Actor = session.Name
		s.Edge.SetSession(w, r, cookie)
		http.Redirect(w, r, "/", http.StatusSeeOther)
	case code.Server():
		s.tell(w, r, s.Edge.Explain(r, err))
	default:
		// As with tokens, only wrong ones wait: a link cannot be guessed, and who
		// shares an address with a broken script should not suffer for it.
		if wait := s.Edge.Attempts.Wait(info.Client); wait > 0 {
			s.tell(w, r, edge.FailureOf(&edge.Refusal{Kind: edge.TooMany, Detail: "too many wrong links from this address; wait a moment", Wait: wait}))
			return
		}
		s.Edge.Attempts.Failed(info.Client)
		var found Problems
		found.Add("link", "Link: this one was used before, is too old or is not known; ask for a new one")
		s.showSignIn(w, r, http.StatusUnprocessableEntity, "", found)
	}
}

// linkSecret takes the code out of a whole link.
func linkSecret(text string) string {
	text = strings.TrimSpace(text)
	if address, err := url.Parse(text); err == nil && address.Query().Get("link") != "" {
		return address.Query().Get("link")
	}
	return text
}

// signOut ends the session, whatever it was.
func (s *Site) signOut(w http.ResponseWriter, r *http.Request) {
	if secret := s.Edge.SessionSecret(r); secret != "" {
		if err := s.Service.SignOut(r.Context(), secret); err != nil {
			s.tell(w, r, s.Edge.Explain(r, err))
			return
		}
	}
	s.Edge.ClearSession(w, r)
	http.Redirect(w, r, "/sign-in", http.StatusSeeOther)
}
