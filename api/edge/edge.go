package edge

import (
	"log/slog"
	"net/http"
	"runtime"
	"sync/atomic"

	"github.com/go-chi/chi/v5/middleware"
)

// Edge is what one server's interfaces share. It is safe for concurrent use.
type Edge struct {
	Config   Config
	Log      *slog.Logger
	Attempts *Attempts
	// Draining says that the server is about to stop: it still serves what comes, but is
	// not ready, so that whoever sends it requests looks elsewhere.
	Draining atomic.Bool
	places   chan struct{} // for costly work
	accounts Accounts
	origins  *http.CrossOriginProtection
}

// New makes the edge of a server. The error is a public origin that is none.
func New(c Config, accounts Accounts, log *slog.Logger) (*Edge, error) {
	c = c.WithDefaults()
	origins := http.NewCrossOriginProtection()
	if c.PublicOrigin != "" {
		if err := origins.AddTrustedOrigin(c.PublicOrigin); err != nil {
			return nil, err
		}
	}
	return &Edge{
		Config: c, Log: log, Attempts: newAttempts(c), accounts: accounts, origins: origins,
		places: make(chan struct{}, runtime.GOMAXPROCS(0)),
	}, nil
}

// Teller writes a failure in the form of one interface: a problem document or a
// page.
type Teller func(w http.ResponseWriter, r *http.Request, f Failure)

// Wrap puts a handler behind everything that holds for every request: an id, a
// line in the log, headers, the refusal of requests that another site
// made a browser send, and a limit on the body. It goes around the router, so
// that no route can be left out.
func (e *Edge) Wrap(next http.Handler, tell Teller) http.Handler {
	return http.HandlerFunc(func(plain http.ResponseWriter, r *http.Request) {
		began := e.Config.Now()
		r, info := e.begin(r)
		w := middleware.NewWrapResponseWriter(plain, r.ProtoMajor)
		e.harden(w.Header())
		w.Header().Set("X-Request-Id", info.ID)
		defer func() { e.logRequest(r, info, w, e.Config.Now().Sub(began)) }()
		defer e.recover(w, r, tell)
		if failure, refused := e.refuse(r); refused {
			tell(w, r, failure)
			return
		}
		if r.Body != nil && r.Body != http.NoBody {
			// No body is ever larger than a model file; routes set their own limit.
			r.Body = http.MaxBytesReader(plain, r.Body, max(e.Config.ModelLimit, e.Config.BookLimit, e.Config.BodyLimit))
		}
		next.ServeHTTP(w, r)
	})
}

// refuse looks at what can be told before any route is known.
func (e *Edge) refuse(r *http.Request) (Failure, bool) {
	switch {
	case r.Method == http.MethodTrace || r.Method == http.MethodConnect:
		return FailureOf(badMethod("this server", methods)), true
	case !e.throughProxy(r):
		return FailureOf(&Refusal{Kind: NotThroughProxy, Detail: "this server takes requests from its proxy only"}), true
	case e.origins.Check(r) != nil:
		return FailureOf(&Refusal{Kind: CrossOrigin}), true
	}
	return Failure{}, false
}
