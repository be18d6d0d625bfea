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
		{get, "/", service.Read, costly(s.start)},
		{get, "/spread", service.Read, costly(s.spread)},
		{get, "/spread/cancelled", service.Read, costly(s.spreadCancelled)},
		{post, "/spread/cancel", service.Read, s.cancelSpread},
		{get, "/curve", service.Read, costly(s.curve)},
		{get, "/compare", service.Read, costly(s.compare)},
		{get, "/landed", service.Read, costly(s.landed)},
		{get, "/parts", service.Read, costly(s.parts)},
		{get, "/parts/{number}", service.Read, costly(s.part)},
		{get, "/parts/{number}/operations.csv", service.Read, s.operationsCSV},
		{get, "/parts/{number}/import", service.Read, s.tableForm},
		{get, "/parts/{number}/import/example.csv", service.Read, s.exampleCSV},
		{post, "/parts/{number}/import", service.Write, costly(s.importTable)},
		{get, "/proof/*", service.Read, costly(s.proof)},
		{get, "/rates", service.Read, costly(s.rates)},
		{get, "/sources", service.Read, s.sources},
		{get, "/change", service.Read, costly(s.whatIf)},
		{post, "/change", service.Write, costly(s.saveChange)},
		{get, "/book", service.Read, s.bookShelf},
		{get, "/book/export", service.Read, s.exportBook},
		{get, "/book/import", service.Read, s.importForm},
		{post, "/book/import", service.Write, costly(s.importBook)},
		{get, "/book/{kind}", service.Read, s.recordList},
		{get, "/book/{kind}/new", service.Read, s.newRecord},
		{post, "/book/{kind}", service.Write, costly(s.putRecord)},
		{get, "/book/{kind}/{id}", service.Read, s.recordPage},
		{post, "/book/{kind}/{id}", service.Write, costly(s.putRecord)},
		{get, "/book/{kind}/{id}/edit", service.Read, s.editRecord},
		{post, "/book/{kind}/{id}/remove", service.Write, costly(s.removeRecord)},
		{get, "/book/{kind}/{id}/revisions", service.Read, s.revisions},
		{post, "/book/{kind}/{id}/restore", service.Write, costly(s.restore)},
		{get, "/quotes", service.Read, s.quotes},
		{get, "/quotes/new", service.Quote, costly(s.newQuote)},
		{post, "/quotes", service.Quote, costly(s.postQuote)},
		{get, "/quotes/{number}", service.Read, s.quote},
		{get, "/quotes/{number}/revise", service.Quote, costly(s.reviseQuote)},
		{post, "/quotes/{number}/withdraw", service.Quote, s.withdrawQuote},
		{get, "/quotes/{number}/proof/*", service.Read, s.quoteProof},
		{get, "/quotes/{number}/file/{format}", service.Read, costly(s.quoteFile)},
		{get, "/changes", service.Read, s.changes},
		{get, "/tokens", service.Admin, s.tokens},
		{post, "/tokens", service.Admin, s.makeToken},
		{post, "/tokens/{id}/revoke", service.Admin, s.revokeToken},
	}
}

func (s *site) serveStatic(w http.ResponseWriter, r *http.Request) {
	if !s.pages.serveStatic(w, r) {
		s.tell(w, r, edge.FailureOf(&edge.Refusal{Kind: edge.NotFound, Detail: "no file has this address"}))
	}
}
