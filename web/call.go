package web

import (
	"errors"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"sync"

	"kerfbook/api/answer"
	"kerfbook/api/edge"
	"kerfbook/api/service"
	"kerfbook/costing/book"
)

// call is one request of somebody who is signed in.
type call struct {
	site    *site
	w       http.ResponseWriter
	r       *http.Request
	actor   service.Actor
	book    *book.Book     // an empty one if none is stored
	version answer.Version // of the book; empty if none is stored
	view    view
	faults  problems // of the view
	release func()   // of the place of a costly page
}

// signedIn lets through who has a session with a scope, and asks everybody else
// to sign in.
func (s *site) signedIn(scope service.Scopes, handler func(*call) error) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		actor, ok, err := s.who(r)
		if err != nil {
			s.tell(w, r, s.edge.Explain(r, err))
			return
		}
		if !ok {
			http.Redirect(w, r, "/sign-in", http.StatusSeeOther)
			return
		}
		edge.RequestOf(r.Context()).Actor = actor.Name
		c := &call{site: s, w: w, r: r, actor: actor}
		err = c.begin(scope)
		if err == nil {
			err = handler(c)
		}
		if err != nil {
			s.tell(w, r, s.edge.Explain(r, err))
		}
	})
}

// costly lets a handler work in one of the places for costly work, which it gives
// back when its answer begins.
func costly(handler func(*call) error) func(*call) error {
	return func(c *call) error {
		release, err := c.site.edge.Place(c.r.Context())
		if err != nil {
			return err
		}
		c.release = sync.OnceFunc(release)
		defer c.release()
		c.w = edge.Releasing(c.w, c.release)
		return handler(c)
	}
}

// who gives the holder of the session cookie. The error is a fault of the server,
// not a session that has ended.
func (s *site) who(r *http.Request) (service.Actor, bool, error) {
	secret := s.edge.SessionSecret(r)
	if secret == "" {
		return service.Actor{}, false, nil
	}
	session, err := s.svc.SessionOf(r.Context(), secret)
	if err != nil && answer.CodeOf(err).Server() {
		return service.Actor{}, false, err
	}
	return session.Actor, err == nil, nil
}

// begin reads what every page needs: the form, the book and the view.
func (c *call) begin(scope service.Scopes) error {
	if !c.actor.Scopes.Has(scope) {
		return &edge.Refusal{Kind: edge.Forbidden, Detail: "this needs the scope " + scope.String()}
	}
	if err := c.readForm(); err != nil {
		return err
	}
	b, version, err := c.site.svc.Book(c.r.Context())
	switch {
	case err == nil:
		c.book, c.version = b, version
	case answer.CodeOf(err) == answer.NotFound:
		c.book = &book.Book{}
	default:
		return err
	}
	c.view, c.faults = readView(c.book, c.r.Form, c.site.svc.Today())
	return nil
}

// readForm reads a form of limited size. A whole book fits.
func (c *call) readForm() error {
	c.r.Body = http.MaxBytesReader(c.w, c.r.Body, c.site.edge.Config.BookLimit+c.site.edge.Config.BodyLimit)
	err := c.r.ParseMultipartForm(c.site.edge.Config.BookLimit)
	if err == http.ErrNotMultipart {
		err = nil
	}
	var over *http.MaxBytesError
	switch {
	case errors.As(err, &over):
		return &edge.Refusal{Kind: edge.TooLarge, Detail: "what was sent is larger than this page takes"}
	case err != nil:
		return &edge.Refusal{Kind: edge.BadRequest, Detail: "what was sent is no form that can be read"}
	}
	return nil
}

// form gives a field of the form without blanks around it.
func (c *call) form(name string) string { return c.r.PostFormValue(name) }

// page starts a page for the person who is signed in.
func (c *call) page(here, title string, body any) page {
	p := page{Title: title, Shop: c.book.Name, Here: here, SignedIn: true, Body: body}
	if c.version != "" && len(c.view.Lines) > 0 {
		p.Query = c.view.Query()
	}
	for _, name := range slices.Sorted(maps.Keys(c.book.Unread)) {
		kind, id, _ := strings.Cut(name, " ")
		p.Unread = append(p.Unread, link{Label: name, Href: recordHref(kind, id)})
	}
	if notice := c.r.URL.Query().Get("done"); notice != "" {
		p.Notice = notices[notice]
	}
	return p
}

// notices are what can be said after an act, by the word in the address: text in
// an address is never repeated on a page.
var notices = map[string]string{
	"saved":     "Saved as the next revision.",
	"removed":   "Removed. It can be restored from its revisions.",
	"restored":  "Restored as the next revision.",
	"imported":  "The book is imported.",
	"issued":    "The quote is issued.",
	"withdrawn": "The quote is withdrawn.",
	"revoked":   "The token no longer works.",
}

// show renders a page; one with problems says so in its status.
func (c *call) show(name string, p page) error {
	status := http.StatusOK
	if !p.Problems.empty() {
		status = http.StatusUnprocessableEntity
	}
	return c.site.show(c.w, c.r, status, name, p)
}

// show renders a page and sends it.
func (s *site) show(w http.ResponseWriter, r *http.Request, status int, name string, p page) error {
	body, err := s.pages.render(name, p)
	if err != nil {
		return err
	}
	edge.PageHeaders(w.Header())
	send(w, r, status, body, p.Secret)
	return nil
}

// leadTo sends the browser to a page after something was done.
func (c *call) leadTo(path, done string) error {
	address, err := url.Parse(path)
	if err != nil {
		return err
	}
	if done != "" {
		q := address.Query()
		q.Set("done", done)
		address.RawQuery = q.Encode()
	}
	http.Redirect(c.w, c.r, address.String(), http.StatusSeeOther)
	return nil
}

// typed gives what was typed into a field, or what it stands at.
func (c *call) typed(name, standard string) string {
	if c.r.Form.Has(name) {
		return c.r.Form.Get(name)
	}
	return standard
}
