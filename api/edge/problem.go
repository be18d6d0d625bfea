package edge

import (
	"encoding/json"
	"net/http"
)

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
