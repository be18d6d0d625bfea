package web

import (
	"net/http"
	"time"

	"github.com/go-chi/chi/v5"
	"github.com/go-chi/chi/v5/middleware"

	"kerfbook/api/edge"
	"kerfbook/api/service"
)

// site is what all pages share.
type site struct {
	svc      *service.Service
	edge     *edge.Edge
	pages    *pages
	patience time.Duration // how long a page waits for draws before it shows how far they have got
}

// usualPatience is how long people wait without being told why.
const usualPatience = time.Second

// newSite makes a site on an edge that other interfaces share.
func newSite(e *edge.Edge, svc *service.Service) (*site, error) {
	p, err := loadPages()
	return &site{svc: svc, edge: e, pages: p, patience: usualPatience}, err
}

// address is a page that needs somebody signed in who has a scope.
type address struct {
	method, pattern string
	scope           service.Scopes
	handler         func(*call) error
}

// get is the address of a page that is looked at.
func get(pattern string, scope service.Scopes, handler func(*call) error) address {
	return address{http.MethodGet, pattern, scope, handler}
}

// post is the address that a form is sent to.
func post(pattern string, scope service.Scopes, handler func(*call) error) address {
	return address{http.MethodPost, pattern, scope, handler}
}

// handler serves rooms of pages, each a list of its addresses, beside the static
// files and the way in and out.
func (s *site) handler(rooms ...[]address) http.Handler {
	r := chi.NewRouter()
	r.Use(edge.NoteRoute, middleware.GetHead)
	r.NotFound(func(w http.ResponseWriter, r *http.Request) {
		s.tell(w, r, edge.FailureOf(&edge.Refusal{Kind: edge.NotFound, Detail: "no page has this address"}))
	})
	r.MethodNotAllowed(edge.MethodsOf(r, s.tell))
	r.Get("/static/*", s.serveStatic)
	r.Get("/sign-in", s.signInForm)
	r.Post("/sign-in", s.signIn)
	r.Post("/sign-out", s.signOut)
	for _, room := range rooms {
		for _, a := range room {
			r.Method(a.method, a.pattern, s.signedIn(a.scope, a.handler))
		}
	}
	return s.edge.Wrap(r, s.tell)
}

func (s *site) serveStatic(w http.ResponseWriter, r *http.Request) {
	if !s.pages.serveStatic(w, r) {
		s.tell(w, r, edge.FailureOf(&edge.Refusal{Kind: edge.NotFound, Detail: "no file has this address"}))
	}
}
