package frame

import (
	"net/http"
	"time"

	"github.com/go-chi/chi/v5"
	"github.com/go-chi/chi/v5/middleware"

	"kerfbook/api/edge"
	"kerfbook/api/service"
)

// Site is what all pages share.
type Site struct {
	Service  *service.Service
	Edge     *edge.Edge
	pages    *Pages
	Patience time.Duration // how long a page waits for draws before it shows how far they have got
}

// usualPatience is how long people wait without being told why.
const usualPatience = time.Second

// NewSite makes a site on an edge that other interfaces share.
func NewSite(e *edge.Edge, svc *service.Service) (*Site, error) {
	p, err := LoadPages()
	return &Site{Service: svc, Edge: e, pages: p, Patience: usualPatience}, err
}

// Address is a page that needs somebody signed in who has a scope.
type Address struct {
	Method, Pattern string
	scope           service.Scopes
	handler         func(*Call) error
}

// Get is the address of a page that is looked at.
func Get(pattern string, scope service.Scopes, handler func(*Call) error) Address {
	return Address{http.MethodGet, pattern, scope, handler}
}

// Post is the address that a form is sent to.
func Post(pattern string, scope service.Scopes, handler func(*Call) error) Address {
	return Address{http.MethodPost, pattern, scope, handler}
}

// Handler serves rooms of pages, each a list of its addresses, beside the static
// files and the way in and out.
func (s *Site) Handler(rooms ...[]Address) http.Handler {
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
			r.Method(a.Method, a.Pattern, s.signedIn(a.scope, a.handler))
		}
	}
	return s.Edge.Wrap(r, s.tell)
}

func (s *Site) serveStatic(w http.ResponseWriter, r *http.Request) {
	if !s.pages.ServeStatic(w, r) {
		s.tell(w, r, edge.FailureOf(&edge.Refusal{Kind: edge.NotFound, Detail: "no file has this address"}))
	}
}
