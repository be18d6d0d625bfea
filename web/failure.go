package web

import (
	"net/http"

	"kerfbook/api/edge"
)

// errorBody is the page of an error.
type errorBody struct {
	Title, Detail, Help string
	Fields              []string
	RequestID           string
}

// tell writes a failure as a page.
func (s *site) tell(w http.ResponseWriter, r *http.Request, f edge.Failure) {
	body := errorBody{Title: f.Kind.Title(), Detail: f.Detail, Help: f.Kind.Help(), RequestID: edge.RequestOf(r.Context()).ID}
	for _, one := range f.Fields {
		text := one.Detail
		if one.Path != "" {
			text = one.Path + ": " + text
		}
		body.Fields = append(body.Fields, text)
	}
	f.Headers(w.Header())
	_, signedIn, _ := s.who(r) // what cannot be told is shown as signed out
	p := page{Title: "Error: " + f.Kind.Title(), SignedIn: signedIn, Body: body}
	if err := s.show(w, r, f.Kind.Status(), "error", p); err != nil {
		http.Error(w, f.Kind.Title(), f.Kind.Status())
	}
}
