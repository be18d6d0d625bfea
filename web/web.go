package web

import (
	"log/slog"
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

// New makes the handler of all pages. It is to be mounted at the root, beside
// the paths of other interfaces. The error is a fault of the configuration.
func New(svc *service.Service, cfg edge.Config, log *slog.Logger) (http.Handler, error) {
	e, err := edge.New(cfg, svc, log)
	if err != nil {
		return nil, err
	}
	return NewOn(e, svc)
}

// NewOn makes the handler on an edge that other interfaces share.
func NewOn(e *edge.Edge, svc *service.Service) (http.Handler, error) {
	s, err := newSite(e, svc)
	if err != nil {
		return nil, err
	}
	return e.Wrap(s.routes(), s.tell), nil
}

func newSite(e *edge.Edge, svc *service.Service) (*site, error) {
	p, err := loadPages()
	return &site{svc: svc, edge: e, pages: p, patience: usualPatience}, err
}

// routes lists every address of the pages.
func (s *site) routes() http.Handler {
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
	for _, a := range s.addresses() {
		r.Method(a.method, a.pattern, s.signedIn(a.scope, a.handler))
	}
	return r
}

// address is a page that needs somebody signed in who has a scope.
type address struct {
	method, pattern string
	scope           service.Scopes
	handler         func(*call) error
}

const (
	get  = http.MethodGet
	post = http.MethodPost
)

func (s *site) addresses() []address {
	return []address{
		{get, "/", service.Read, costly(start)},
		{get, "/spread", service.Read, costly(spread)},
		{get, "/spread/cancelled", service.Read, costly(spreadCancelled)},
		{post, "/spread/cancel", service.Read, cancelSpread},
		{get, "/curve", service.Read, costly(curve)},
		{get, "/compare", service.Read, costly(compare)},
		{get, "/landed", service.Read, costly(landed)},
		{get, "/parts", service.Read, costly(parts)},
		{get, "/parts/{number}", service.Read, costly(part)},
		{get, "/parts/{number}/operations.csv", service.Read, operationsCSV},
		{get, "/parts/{number}/import", service.Read, tableForm},
		{get, "/parts/{number}/import/example.csv", service.Read, exampleCSV},
		{post, "/parts/{number}/import", service.Write, costly(importTable)},
		{get, "/proof/*", service.Read, costly(proofPage)},
		{get, "/rates", service.Read, costly(ratesPage)},
		{get, "/sources", service.Read, sources},
		{get, "/change", service.Read, costly(whatIf)},
		{post, "/change", service.Write, costly(saveChange)},
		{get, "/book", service.Read, bookShelf},
		{get, "/book/export", service.Read, exportBook},
		{get, "/book/import", service.Read, importForm},
		{post, "/book/import", service.Write, costly(importBook)},
		{get, "/book/{kind}", service.Read, recordList},
		{get, "/book/{kind}/new", service.Read, newRecord},
		{post, "/book/{kind}", service.Write, costly(putRecord)},
		{get, "/book/{kind}/{id}", service.Read, recordPage},
		{post, "/book/{kind}/{id}", service.Write, costly(putRecord)},
		{get, "/book/{kind}/{id}/edit", service.Read, editRecord},
		{post, "/book/{kind}/{id}/remove", service.Write, costly(removeRecord)},
		{get, "/book/{kind}/{id}/revisions", service.Read, revisions},
		{post, "/book/{kind}/{id}/restore", service.Write, costly(restore)},
		{get, "/quotes", service.Read, quotes},
		{get, "/quotes/new", service.Quote, costly(newQuote)},
		{post, "/quotes", service.Quote, costly(postQuote)},
		{get, "/quotes/{number}", service.Read, quotePage},
		{get, "/quotes/{number}/revise", service.Quote, costly(reviseQuote)},
		{post, "/quotes/{number}/withdraw", service.Quote, withdrawQuote},
		{get, "/quotes/{number}/proof/*", service.Read, quoteProof},
		{get, "/quotes/{number}/file/{format}", service.Read, costly(quoteFile)},
		{get, "/changes", service.Read, changeLog},
		{get, "/tokens", service.Admin, tokens},
		{post, "/tokens", service.Admin, makeToken},
		{post, "/tokens/{id}/revoke", service.Admin, revokeToken},
	}
}

func (s *site) serveStatic(w http.ResponseWriter, r *http.Request) {
	if !s.pages.serveStatic(w, r) {
		s.tell(w, r, edge.FailureOf(&edge.Refusal{Kind: edge.NotFound, Detail: "no file has this address"}))
	}
}
