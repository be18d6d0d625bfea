package frame

import (
	"errors"
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"sync"

	"kerfbook/api/answer"
	"kerfbook/api/edge"
	"kerfbook/api/service"
	"kerfbook/costing/book"
	"kerfbook/web/notation"
)

// Call is one request of somebody who is signed in.
type Call struct {
	Site    *Site
	W       http.ResponseWriter
	R       *http.Request
	Actor   service.Actor
	Style   notation.Style // of the numbers and days that the person types and reads
	Book    *book.Book     // an empty one if none is stored
	Version answer.Version // of the book; empty if none is stored
	View    View
	Faults  Problems // of the view
	Release func()   // of the place of a costly page
}

// signedIn lets through who has a session with a scope, and asks everybody else
// to sign in.
func (s *Site) signedIn(scope service.Scopes, handler func(*Call) error) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		actor, ok, err := s.who(r)
		if err != nil {
			s.tell(w, r, s.Edge.Explain(r, err))
			return
		}
		if !ok {
			http.Redirect(w, r, "/sign-in", http.StatusSeeOther)
			return
		}
		edge.RequestOf(r.Context()).Actor = actor.Name
		if r.URL.Path == "/" && !actor.Scopes.Has(scope) { // where everybody is led who signs in
			http.Redirect(w, r, "/prices", http.StatusSeeOther)
			return
		}
		c := &Call{Site: s, W: w, R: r, Actor: actor}
		err = c.begin(scope)
		if err == nil {
			err = handler(c)
		}
		if err != nil {
			s.tell(w, r, s.Edge.Explain(r, c.Told(err)))
		}
	})
}

// Told is an error as the person may be told of it.
func (c *Call) Told(err error) error {
	if c.Actor.Scopes.Has(service.Read) {
		return err
	}
	return answer.Closed(err)
}

// Costly lets a handler work in one of the places for costly work, which it gives
// back when its answer begins.
func Costly(handler func(*Call) error) func(*Call) error {
	return func(c *Call) error {
		release, err := c.Site.Edge.Place(c.R.Context())
		if err != nil {
			return err
		}
		c.Release = sync.OnceFunc(release)
		defer c.Release()
		c.W = edge.Releasing(c.W, c.Release)
		return handler(c)
	}
}

// who gives the holder of the session cookie. The error is a fault of the server,
// not a session that has ended.
func (s *Site) who(r *http.Request) (service.Actor, bool, error) {
	secret := s.Edge.SessionSecret(r)
	if secret == "" {
		return service.Actor{}, false, nil
	}
	session, err := s.Service.SessionOf(r.Context(), secret)
	if err != nil && answer.CodeOf(err).Server() {
		return service.Actor{}, false, err
	}
	return session.Actor, err == nil, nil
}

// begin reads what every page needs: the form, the book and the view.
func (c *Call) begin(scope service.Scopes) error {
	if err := c.Site.Service.May(c.R.Context(), c.Actor, scope); err != nil {
		return err
	}
	if err := c.readForm(); err != nil {
		return err
	}
	c.Actor.Reason = strings.TrimSpace(c.Form("why"))
	b, version, err := c.Site.Service.Book(c.R.Context())
	switch {
	case err == nil:
		c.Book, c.Version = b, version
	case answer.CodeOf(err) == answer.NotFound:
		c.Book = &book.Book{}
	default:
		return err
	}
	c.Style = styleOf(c.R)
	c.Style.Money = string(c.Book.Currency)
	c.View, c.Faults = ReadView(c.Book, c.R.Form, c.Site.Service.Today(), c.Style)
	return nil
}

// readForm reads a form of limited size. A whole book fits, and with a file, of which
// what is beyond a book is kept on the disk meanwhile, a model.
func (c *Call) readForm() error {
	limit := c.Site.Edge.Config.BookLimit + c.Site.Edge.Config.BodyLimit
	if strings.HasPrefix(c.R.Header.Get("Content-Type"), "multipart/") {
		limit = max(limit, c.Site.Edge.Config.ModelLimit)
	}
	c.R.Body = http.MaxBytesReader(c.W, c.R.Body, limit)
	err := c.R.ParseMultipartForm(c.Site.Edge.Config.BookLimit)
	if err == http.ErrNotMultipart {
		err = nil
	}
	var over *http.MaxBytesError
	switch {
	case errors.As(err, &over):
		return &edge.Refusal{Kind: edge.TooLarge, Detail: fmt.Sprintf("what was sent is larger than the %d MB that this page takes", limit>>20)}
	case err != nil:
		return &edge.Refusal{Kind: edge.BadRequest, Detail: "what was sent is no form that can be read"}
	}
	return nil
}

// Form gives a field of the form without blanks around it.
func (c *Call) Form(name string) string { return c.R.PostFormValue(name) }

// Page starts a page for the person who is signed in.
func (c *Call) Page(here, title string, body any) Page {
	if here == "trims" && c.View.Alone() {
		here = "parts"
	}
	p := Page{Title: title, Shop: c.Book.Name, Here: here, SignedIn: true, Costs: c.Actor.Scopes.Has(service.Read), Who: c.person(), Release: c.Site.Edge.Config.Release, Reason: c.Actor.Reason, Written: c.Style.Text("12.5") + ", " + c.Style.ShowDay("2026-11-25"), Body: body}
	if c.Version != "" && len(c.View.Lines) > 0 && !c.View.Alone() { // other pages are about what is sold
		p.Query = c.View.Query()
	}
	for _, name := range slices.Sorted(maps.Keys(c.Book.Unread)) {
		kind, id, _ := strings.Cut(name, " ")
		p.Unread = append(p.Unread, Link{Label: name, Href: RecordHref(kind, id)})
	}
	asked := c.R.URL.Query()
	p.Notice = notices[asked.Get("done")]
	if n, err := strconv.ParseInt(asked.Get("made"), 10, 64); err == nil && p.Notice != "" && c.Actor.Scopes.Has(service.Write) {
		p.Undo = "/changes/" + strconv.FormatInt(n, 10)
	}
	return p
}

// person is the name of who is signed in, where there are people.
func (c *Call) person() string {
	if c.Actor.Person == "" {
		return ""
	}
	return c.Actor.Name
}

// notices are what can be said after an act, by the word in the address: text in
// an address is never repeated on a page.
var notices = map[string]string{
	"new":       "Saved in your book.",
	"saved":     "Saved as the next revision.",
	"unguessed": "Saved as the next revision, without its first guess: stock, set-up or minutes that nobody has entered are missing now, and its price with them. Restore the last revision to keep the guess until they are entered.",
	"named":     "Kept under its name.",
	"forgotten": "Removed; the book stays as it is.",
	"taken":     "Taken into the book as records of your own.",
	"tabled":    "The table is taken in, as one change; undo it under Changes.",
	"removed":   "Removed. It can be restored from its revisions.",
	"undone":    "Undone: what it changed is as it was before.",
	"restored":  "Restored as the next revision.",
	"imported":  "The book is imported.",
	"issued":    "The quote is issued.",
	"withdrawn": "The quote is withdrawn.",
	"kept":      "Numbers and days are written so from now on.",
	"person":    "It holds from now on, for who is signed in too.",
	"revoked":   "The token no longer works.",
}

// Show renders a page; one with problems says so in its status.
func (c *Call) Show(name string, p Page) error {
	status := http.StatusOK
	if !p.Problems.Empty() {
		status = http.StatusUnprocessableEntity
	}
	return c.Site.show(c.W, c.R, status, name, p)
}

// show renders a page and sends it.
func (s *Site) show(w http.ResponseWriter, r *http.Request, status int, name string, p Page) error {
	body, err := s.pages.Render(name, p)
	if err != nil {
		return err
	}
	edge.PageHeaders(w.Header())
	send(w, r, status, written(body, styleOf(r)), p.Secret)
	return nil
}

// LeadTo sends the browser to a page after something was done.
func (c *Call) LeadTo(path, done string) error {
	address, err := url.Parse(path)
	if err != nil {
		return err
	}
	if done != "" {
		q := address.Query()
		q.Set("done", done)
		number, err := c.Site.Service.LastChange(c.R.Context(), c.Actor, c.Version)
		if err != nil {
			return err
		}
		if number > 0 { // it can be undone
			q.Set("made", strconv.FormatInt(number, 10))
		}
		address.RawQuery = q.Encode()
	}
	http.Redirect(c.W, c.R, address.String(), http.StatusSeeOther)
	return nil
}

// Typed gives what was typed into a field, or what it stands at.
func (c *Call) Typed(name, standard string) string {
	if c.R.Form.Has(name) {
		return c.R.Form.Get(name)
	}
	return standard
}
