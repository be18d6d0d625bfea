package edge

import (
	"context"
	"errors"
	"log/slog"
	"net/http"
	"sync/atomic"

	"kerfbook/api/answer"
)

// Gate tells whether requests are taken. A server that starts takes none until
// Open; one that is about to stop still serves what comes, but says so at its
// readiness check, so that whoever sends it requests looks elsewhere.
type Gate struct{ state atomic.Int32 }

const (
	open int32 = iota // the zero Gate takes requests
	starting
	draining
)

// Hold refuses requests until Open is called.
func (g *Gate) Hold() { g.state.Store(starting) }

// Open takes requests.
func (g *Gate) Open() { g.state.Store(open) }

// Drain announces that the server is about to stop.
func (g *Gate) Drain() { g.state.Store(draining) }

// guard refuses requests while the server starts, except whether it is alive
// and ready.
func (g *Gate) guard(r *http.Request) bool {
	return g.state.Load() != starting || isCheck(r)
}

// isCheck finds the questions whether the server is alive and ready.
func isCheck(r *http.Request) bool { return r.URL.Path == "/healthz" || r.URL.Path == "/readyz" }

// Ready reports why the server should be sent no requests now, nil if it should.
// The store gets no longer to answer than the configuration allows.
func (e *Edge) Ready(ctx context.Context, check func(context.Context) error) error {
	if e.Gate.state.Load() != open {
		return notReady()
	}
	ctx, cancel := context.WithTimeout(ctx, e.Config.ReadyTimeout)
	defer cancel()
	err := check(ctx)
	if err == nil {
		return nil
	}
	e.Log.LogAttrs(ctx, slog.LevelWarn, "not ready", slog.String("reason", err.Error()))
	refusal := notReady()
	var known *answer.Error
	if errors.As(err, &known) && known.Code != answer.Internal {
		refusal.Detail += ": " + known.Message
	}
	return refusal
}
