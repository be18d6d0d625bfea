package edge

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"time"

	"kerfbook/api/answer"
)

// Failure is an error as users are told of it: nothing in it comes from the
// inside of the server.
type Failure struct {
	Kind   Kind
	Detail string
	Fields []Field
	Wait   time.Duration // after which it may be tried again
	Allow  string        // methods, of MethodNotAllowed
}

// Field is one fault of what was sent. Pointer is a JSON pointer into the body,
// Parameter a name in the path, the query or the headers; Path is the place in
// words of the book; lines and columns count from 1 and are 0 if unknown.
type Field struct {
	Pointer   string
	Parameter string
	Path      string
	Line      int
	Column    int
	Detail    string
}

// FailureOf tells what users are told of an error. An error that is neither of
// the use cases nor a refusal becomes Internal without a word about it.
func FailureOf(err error) Failure {
	var refusal *Refusal
	var known *answer.Error
	switch {
	case errors.As(err, &refusal):
		f := Failure(*refusal)
		f.Detail = refusal.Error()
		return f
	case errors.As(err, &known):
		return failureOfService(known)
	case errors.Is(err, context.DeadlineExceeded), errors.Is(err, context.Canceled):
		return Failure{Kind: Busy, Detail: "the request was given up before it was done", Wait: time.Second}
	}
	return Failure{Kind: Internal, Detail: "the reason is in the server's log under the request id"}
}

func failureOfService(err *answer.Error) Failure {
	kind := Kind(err.Code) // they share their words
	if kind.Status() == 0 || kind == Internal {
		return FailureOf(nil)
	}
	f := Failure{Kind: kind, Detail: err.Message}
	for _, field := range err.Fields {
		f.Fields = append(f.Fields, Field{
			Pointer: field.Pointer, Path: field.Path, Line: field.Line, Column: field.Column, Detail: field.Message,
		})
	}
	if kind == Busy {
		f.Wait = time.Second
	}
	return f
}

// Explain is FailureOf that also writes the reason of a server's fault to the
// log.
func (e *Edge) Explain(r *http.Request, err error) Failure {
	f := FailureOf(err)
	var refusal *Refusal // holds no more than it tells
	if err == nil || f.Kind.Status() < http.StatusInternalServerError || errors.As(err, &refusal) {
		return f
	}
	level := slog.LevelError
	if f.Kind == Busy {
		level = slog.LevelWarn
	}
	e.Log.LogAttrs(r.Context(), level, "fault",
		slog.String("request_id", RequestOf(r.Context()).ID), slog.String("reason", err.Error()))
	return f
}

// Headers sets the headers that belong to a failure.
func (f Failure) Headers(h http.Header) {
	if f.Wait > 0 {
		h.Set("Retry-After", seconds(f.Wait))
	}
	if f.Allow != "" {
		h.Set("Allow", f.Allow)
	}
	switch f.Kind {
	case Unauthorized:
		h.Set("WWW-Authenticate", "Bearer")
	case TooLarge:
		h.Set("Connection", "close") // the rest of the body is not read
	}
}

// Refusal is an error of the request that is found before any use case is
// called.
type Refusal Failure

func (f *Refusal) Error() string {
	if f.Detail == "" {
		return kinds[f.Kind].title
	}
	return f.Detail
}

func notReady() *Refusal {
	return &Refusal{Kind: Unavailable, Detail: "the server is not ready to answer", Wait: 2 * time.Second}
}

func unauthorized() error {
	return &Refusal{Kind: Unauthorized, Detail: "send a token in the header Authorization: Bearer …, or sign in"}
}

// seconds writes a wait in whole seconds, rounded up.
func seconds(d time.Duration) string {
	return fmt.Sprint(int64((d + time.Second - 1) / time.Second))
}

// bodyTooLarge is the refusal of a body over a limit.
func bodyTooLarge(limit int64) error {
	return &Refusal{Kind: TooLarge, Detail: fmt.Sprintf("the body is larger than %d bytes", limit)}
}

// ProblemType is where the help for a kind of failure is found.
const ProblemType = "/api/v1/problems/"

// Problem is a failure as a document of RFC 9457.
type Problem struct {
	Type      string         `json:"type" doc:"Where help for this kind of failure is found"`
	Title     string         `json:"title"`
	Status    int            `json:"status"`
	Detail    string         `json:"detail"`
	Code      Kind           `json:"code" doc:"The kind of failure, for programs; new kinds may come"`
	RequestID string         `json:"request_id"`
	Errors    []ProblemField `json:"errors,omitempty" doc:"Every fault of what was sent"`
}

// ProblemField is one fault of what was sent.
type ProblemField struct {
	Pointer   *string `json:"pointer,omitempty" doc:"JSON pointer into the body"`
	Parameter string  `json:"parameter,omitempty" doc:"Name of a parameter of the path, the query or the headers"`
	Path      string  `json:"path,omitempty" doc:"The place in words of the book"`
	Line      int     `json:"line,omitempty"`
	Column    int     `json:"column,omitempty"`
	Detail    string  `json:"detail"`
}

// ProblemOf makes the document of a failure.
func ProblemOf(f Failure, requestID string) Problem {
	p := Problem{
		Type: ProblemType + string(f.Kind), Title: f.Kind.Title(), Status: f.Kind.Status(), Detail: f.Detail,
		Code: f.Kind, RequestID: requestID,
	}
	for _, field := range f.Fields {
		out := ProblemField{Parameter: field.Parameter, Path: field.Path, Line: field.Line, Column: field.Column, Detail: field.Detail}
		if field.Parameter == "" && (field.Pointer != "" || field.Path == "") {
			out.Pointer = &field.Pointer // "" is the whole body; none for a place elsewhere in the book
		}
		p.Errors = append(p.Errors, out)
	}
	return p
}

// WriteProblem answers with the document of a failure; it is the Teller of data.
func WriteProblem(w http.ResponseWriter, r *http.Request, f Failure) {
	f.Headers(w.Header())
	w.Header().Set("Content-Type", "application/problem+json")
	w.Header().Set("Cache-Control", "no-store")
	w.Header().Del("ETag")
	w.WriteHeader(f.Kind.Status())
	if r.Method == http.MethodHead {
		return
	}
	encoder := json.NewEncoder(w)
	encoder.SetEscapeHTML(false)
	// An error here is a client that has gone.
	_ = encoder.Encode(ProblemOf(f, RequestOf(r.Context()).ID))
}
