package edge

import (
	"context"
	"errors"
	"log/slog"
	"net/http"

	"kerfbook/api/answer"
)

// isCheck finds the questions whether the server is alive and ready.
func isCheck(r *http.Request) bool { return r.URL.Path == "/healthz" || r.URL.Path == "/readyz" }

// Ready reports why the server should be sent no requests now, nil if it should.
// The store gets no longer to answer than the configuration allows.
func (e *Edge) Ready(ctx context.Context, check func(context.Context) error) error {
	if e.Draining.Load() {
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
