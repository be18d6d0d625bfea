package edge

import (
	"log/slog"
	"net/http"
	"runtime/debug"
	"time"
)

// logRequest writes one line for a request. It holds the pattern of the route
// and never the path, the query, a header or a body: those are what people put
// secrets into.
func (e *Edge) logRequest(r *http.Request, info *Request, w *recorder, took time.Duration) {
	level := slog.LevelInfo
	if w.status >= 500 {
		level = slog.LevelError
	}
	e.Log.LogAttrs(r.Context(), level, "request",
		slog.String("request_id", info.ID),
		slog.String("client", info.Client.String()),
		slog.String("actor", info.Actor),
		slog.String("method", method(r)),
		slog.String("route", info.Route),
		slog.Int("status", w.status),
		slog.Int64("bytes", w.bytes),
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
func (e *Edge) recover(w *recorder, r *http.Request, tell Teller) {
	problem := recover()
	if problem == nil {
		return
	}
	if problem == http.ErrAbortHandler {
		panic(problem)
	}
	e.Log.LogAttrs(r.Context(), slog.LevelError, "panic",
		slog.String("request_id", RequestOf(r.Context()).ID),
		slog.String("kind", typeName(problem)),
		slog.String("stack", string(debug.Stack())))
	if w.started() {
		panic(http.ErrAbortHandler) // cuts the connection, so that nobody takes half an answer for a whole one
	}
	tell(w, r, FailureOf(nil))
}

// recorder notes what was answered.
type recorder struct {
	http.ResponseWriter
	status int
	bytes  int64
}

// WriteHeader passes on the first final status; a later one could not be sent.
func (w *recorder) WriteHeader(status int) {
	if w.status != 0 {
		return
	}
	if status >= 200 {
		w.status = status
	}
	w.ResponseWriter.WriteHeader(status)
}

func (w *recorder) Write(data []byte) (int, error) {
	if w.status == 0 {
		w.status = http.StatusOK
	}
	n, err := w.ResponseWriter.Write(data)
	w.bytes += int64(n)
	return n, err
}

// Unwrap lets http.ResponseController reach the connection.
func (w *recorder) Unwrap() http.ResponseWriter { return w.ResponseWriter }

// started says that part of the answer is already on its way.
func (w *recorder) started() bool { return w.status != 0 }
