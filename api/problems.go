package api

import (
	"net/http"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"kerfbook/api/answer"
	"kerfbook/api/edge"
	"kerfbook/api/service"
)

const badParameters = "the parameters do not hold"

// problems turns the library's own errors, which repeat what was sent, into
// problem documents, which do not.
type problems struct{ huma.API }

// Transform is called for everything the library writes.
func (p problems) Transform(ctx huma.Context, status string, v any) (any, error) {
	model, ok := v.(*huma.ErrorModel)
	if !ok {
		return p.API.Transform(ctx, status, v)
	}
	f := edge.Failure{Kind: edge.Invalid, Detail: badParameters}
	if model.Status >= http.StatusInternalServerError {
		f = edge.FailureOf(nil)
	}
	for _, e := range model.Errors {
		if e == nil || f.Kind == edge.Internal {
			continue
		}
		_, name, _ := strings.Cut(e.Location, ".")
		f.Fields = append(f.Fields, edge.Field{Parameter: name, Detail: e.Message})
	}
	if c, ok := ctx.Context().Value(callKey{}).(*call); ok {
		f.Fields = append(f.Fields, c.strays...)
	}
	problem := edge.ProblemOf(f, edge.RequestOf(ctx.Context()).ID)
	problem.Status = model.Status
	return problem, nil
}

// failure is a failure on its way to the client. The library writes it as it
// writes any answer.
type failure struct {
	edge.Problem
	header http.Header
}

func (f *failure) Error() string             { return f.Detail }
func (f *failure) GetStatus() int            { return f.Status }
func (f *failure) GetHeaders() http.Header   { return f.header }
func (f *failure) ContentType(string) string { return problemType }

// fail makes the answer to an error.
func (a *API) fail(c *call, err error) error {
	if c.actor.Name != "" && !c.actor.Scopes.Has(service.Read) {
		err = answer.Closed(err)
	}
	f := a.edge.Explain(c.r, err)
	header := http.Header{}
	f.Headers(header)
	c.w.Header().Set("Cache-Control", "no-store")
	return &failure{edge.ProblemOf(f, edge.RequestOf(c.r.Context()).ID), header}
}
