package api

import (
	"net/http"
	"reflect"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humachi"
	"github.com/go-chi/chi/v5"
	"github.com/go-chi/chi/v5/middleware"

	"kerfbook/api/answer"
	"kerfbook/api/edge"
	"kerfbook/api/schema"
	"kerfbook/api/service"
)

// Base is where the routes of this version begin.
const Base = "/api/v1"

// API answers requests of programs.
type API struct {
	service *service.Service
	edge    *edge.Edge
	router  chi.Router
	huma    huma.API
	schemas schema.Schemas
	cache   *answer.Cache[cacheKey, cached]
	// patience is how long a question waits for its answer before it is told where
	// the answer will be.
	patience time.Duration
}

// New makes the handler of everything under /api/, of /healthz and of /readyz.
// It is complete: whoever mounts it adds nothing around it.
func New(s *service.Service, e *edge.Edge) http.Handler {
	return e.Wrap(build(s, e).router, edge.WriteProblem)
}

// build registers all routes.
func build(s *service.Service, e *edge.Edge) *API {
	router := chi.NewRouter()
	router.Use(edge.NoteRoute, middleware.GetHead)
	a := &API{service: s, edge: e, router: router, cache: newCache(e.Config.CacheBytes), patience: time.Second}
	router.NotFound(func(w http.ResponseWriter, r *http.Request) {
		edge.WriteProblem(w, r, edge.FailureOf(&edge.Refusal{Kind: edge.NotFound, Detail: "there is nothing at this address"}))
	})
	router.MethodNotAllowed(edge.MethodsOf(router, edge.WriteProblem))
	a.huma = problems{humachi.New(router, humaConfig())}
	a.huma.UseMiddleware(a.admit)
	a.schemas = schema.New(a.huma.OpenAPI().Components.Schemas, reflect.TypeFor[API]().PkgPath())
	a.systemRoutes()
	a.bookRoutes()
	a.recordRoutes()
	a.setRoute()
	a.starterRoute()
	a.figureRoutes()
	a.spreadRoutes()
	a.curveRoutes()
	a.scenarioRoutes()
	a.comparisonRoutes()
	a.tableRoutes()
	a.modelRoutes()
	a.statelessRoutes()
	a.quoteRoutes()
	a.changeRoutes()
	a.accessRoutes()
	// The library's own form of errors, which is never sent.
	delete(a.schemas.Map(), "ErrorModel")
	delete(a.schemas.Map(), "ErrorDetail")
	a.schemas.Finish(a.huma.OpenAPI())
	return a
}

// humaConfig leaves out what would add to answers or serve pages of others.
func humaConfig() huma.Config {
	return huma.Config{
		OpenAPI: &huma.OpenAPI{
			OpenAPI: "3.1.0",
			Info: &huma.Info{
				Title:   "Kerfbook",
				Version: "1",
				License: &huma.License{Name: "MIT", Identifier: "MIT"},
				Description: "Prices machined, finished, assembled products from one book, and quotes them across borders. " +
					"Numbers are text with all their digits; days are YYYY-MM-DD and instants RFC 3339 in UTC. " +
					"Every change names the version it changes (If-Match). Failures are problem documents that list every fault at once. " +
					"What is sent is read strictly: a name that is not known is refused. Answers may say more from version to version, and a list in them is never null.",
			},
			Servers: []*huma.Server{{URL: "/", Description: "The server that this document was read from"}},
			// Of every route that says nothing else.
			Security: []map[string][]string{{"token": {}}, {"session": {}}},
			Components: &huma.Components{
				Schemas: huma.NewMapRegistry("#/components/schemas/", schema.NameOf),
				SecuritySchemes: map[string]*huma.SecurityScheme{
					"token": {Type: "http", Scheme: "bearer", Description: "A token with the scopes a route asks for"},
					"session": {Type: "apiKey", In: "cookie", Name: edge.SecureCookie,
						Description: "The session of a signed-in browser; on plain loopback HTTP the cookie is called " + edge.LocalCookie + " and the port"},
				},
			},
		},
		Formats:       map[string]huma.Format{jsonType: huma.DefaultJSONFormat, problemType: huma.DefaultJSONFormat},
		DefaultFormat: jsonType,
	}
}
