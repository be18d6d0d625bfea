package edge

import (
	"fmt"
	"log/slog"
	"net/http"
	"runtime/debug"
	"time"

	"github.com/go-chi/chi/v5/middleware"
)

// logRequest writes one line for a request. It holds the pattern of the route
// and never the path, the query, a header or a body: those are what people put
// secrets into.
func (e *Edge) logRequest(r *http.Request, info *Request, w middleware.WrapResponseWriter, took time.Duration) {
	level := slog.LevelInfo
	if w.Status() >= 500 {
		level = slog.LevelError
	}
	e.Log.LogAttrs(r.Context(), level, "request",
		slog.String("request_id", info.ID),
		slog.String("client", info.Client.String()),
		slog.String("actor", info.Actor),
		slog.String("method", method(r)),
		slog.String("route", info.Route),
		slog.Int("status", w.Status()),
		slog.Int("bytes", w.BytesWritten()),
		slog.Int64("microseconds", took.Microseconds()),
	)
}

// method is one of the known methods; another word could be anything.
func method(r *http.Request) string {
	switch r.Method {
	case http.MethodGet, http.MethodHead, http.MethodPost, http.MethodPut, http.MethodPatch, http.MethodDelete, http.MethodOptions:
		return r.Method
	}
	return "other"
}

// recover turns a panic into an answer. The stack goes to the log; the value of
// the panic may hold what the client sent, so only its type does.
func (e *Edge) recover(w middleware.WrapResponseWriter, r *http.Request, tell Teller) {
	problem := recover()
	if problem == nil {
		return
	}
	if problem == http.ErrAbortHandler {
		panic(problem)
	}
	e.Log.LogAttrs(r.Context(), slog.LevelError, "panic",
		slog.String("request_id", RequestOf(r.Context()).ID),
		slog.String("kind", fmt.Sprintf("%T", problem)),
		slog.String("stack", string(debug.Stack())))
	if w.Status() != 0 {
		panic(http.ErrAbortHandler) // cuts the connection, so that nobody takes half an answer for a whole one
	}
	tell(w, r, FailureOf(nil))
}
