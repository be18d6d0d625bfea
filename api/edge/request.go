package edge

import (
	"context"
	"crypto/rand"
	"net/http"
	"net/netip"
	"slices"
	"strings"

	"github.com/go-chi/chi/v5"
)

// Request is what the edge knows of a request, for its whole life.
type Request struct {
	ID     string     // told to the client and written to the log
	Client netip.Addr // the real one; invalid if unknown
	Route  string     // the pattern that matched, never the path
	Actor  string     // who was recognised
}

type requestKey struct{}

// RequestOf gives what the edge knows of the request a context belongs to; it is
// never nil.
func RequestOf(ctx context.Context) *Request {
	if r, ok := ctx.Value(requestKey{}).(*Request); ok {
		return r
	}
	return &Request{}
}

// begin gives a request its id. An id sent by the client is not taken over: it
// could forge what the log says.
func (e *Edge) begin(r *http.Request) (*http.Request, *Request) {
	info := &Request{ID: rand.Text(), Client: e.client(r)}
	return r.WithContext(context.WithValue(r.Context(), requestKey{}, info)), info
}

// NoteRoute is a middleware for a router that keeps the pattern that matched for
// the log.
func NoteRoute(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		// Deferred, so that the route of a panic is known too.
		defer func() {
			if route := chi.RouteContext(r.Context()); route != nil {
				RequestOf(r.Context()).Route = route.RoutePattern()
			}
		}()
		next.ServeHTTP(w, r)
	})
}

// methods are those of any address.
var methods = []string{http.MethodGet, http.MethodHead, http.MethodPost, http.MethodPut, http.MethodDelete}

// MethodsOf refuses a method by naming those that an address of a router has.
func MethodsOf(router chi.Routes, tell Teller) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		var allow []string
		for _, m := range methods {
			asked := m
			if m == http.MethodHead {
				asked = http.MethodGet // answered by the same route
			}
			if router.Match(chi.NewRouteContext(), asked, r.URL.EscapedPath()) {
				allow = append(allow, m)
			}
		}
		tell(w, r, FailureOf(badMethod("this address", allow)))
	}
}

func badMethod(where string, allow []string) error {
	list := strings.Join(allow, ", ")
	return &Refusal{Kind: MethodNotAllowed, Detail: where + " takes " + list, Allow: list}
}

// client finds the address a request really came from. What a header says is
// believed only if the peer is a stated proxy, and then only as far back as the
// chain of stated proxies goes: everything before it could have been written by
// anyone.
func (e *Edge) client(r *http.Request) netip.Addr {
	addr := peer(r)
	if !e.isProxy(addr) {
		return addr
	}
	hops := strings.Split(strings.Join(r.Header.Values("X-Forwarded-For"), ","), ",")
	for i := len(hops) - 1; i >= 0; i-- {
		hop, err := netip.ParseAddr(strings.TrimSpace(hops[i]))
		if err != nil {
			return addr
		}
		if addr = hop.Unmap().WithZone(""); !e.isProxy(addr) {
			return addr
		}
	}
	return addr
}

// peer is the address at the other end of the connection; invalid if unknown.
func peer(r *http.Request) netip.Addr {
	p, err := netip.ParseAddrPort(r.RemoteAddr)
	if err != nil {
		return netip.Addr{}
	}
	return p.Addr().Unmap().WithZone("")
}

// throughProxy refuses what came past the stated proxies, where there are any:
// secrets may have crossed the network in the open. Whether the server is alive
// and ready is no secret.
func (e *Edge) throughProxy(r *http.Request) bool {
	return len(e.Config.TrustedProxies) == 0 || isCheck(r) || e.isProxy(peer(r))
}

func (e *Edge) isProxy(a netip.Addr) bool {
	return slices.ContainsFunc(e.Config.TrustedProxies, func(p netip.Prefix) bool { return p.Contains(a) })
}
