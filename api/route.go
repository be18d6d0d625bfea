package api

import (
	"context"
	"net/http"
	"reflect"
	"slices"
	"strconv"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humachi"

	"kerfbook/api/answer"
	"kerfbook/api/edge"
	"kerfbook/api/service"
)

// route describes one operation.
type route struct {
	method, path string
	id           string // of the operation in the document
	tag          string
	summary      string
	about        string         // more than the summary says
	scope        service.Scopes // none: open to everyone
	body         *body
	changes      bool // needs If-Match
	previews     bool // needs that, and Idempotency-Key, only if the query does not ask for a preview
	once         bool // needs Idempotency-Key
	// creates says that If-None-Match: * may stand for If-Match.
	creates bool
	// figure says that the answer depends on the book, the request and the day
	// alone, so that it is kept.
	figure  bool
	returns answerForm
}

// body is what a route reads.
type body struct {
	schema *huma.Schema
	types  []string
	limit  int64
}

// answerForm is what a route answers when all is well.
type answerForm struct {
	status  int
	schema  *huma.Schema // of JSON; nil: no content, or files
	files   []string     // other media types
	created bool         // may answer 201 as well
	cached  bool         // may answer 304 as well
	located bool         // says where what was made is found, and its version
	// still is what it answers, with 200, where something still refers to what is gone.
	still *huma.Schema
	// awaited is what it answers, with 202, while the answer is not there yet.
	awaited *huma.Schema
}

// answer is what a handler gives back.
type reply struct {
	Status int
	Body   []byte
}

// call is one request on its way through its handler.
type call struct {
	r         *http.Request
	w         http.ResponseWriter
	actor     service.Actor
	body      []byte
	mediaType string
	strays    faults         // parameters that the route does not have
	bookAt    answer.Version // version of the book, of a figure
	key       cacheKey       // of the answer, of a figure
}

type callKey struct{}

// add registers a route. The handler gets the request with its caller already
// admitted and its body already read.
func add[I any](a *API, rt route, handle func(ctx context.Context, c *call, in *I) (*reply, error)) {
	op := huma.Operation{
		OperationID: rt.id, Method: rt.method, Path: rt.path, Summary: rt.summary, Description: rt.about, Tags: []string{rt.tag},
		DefaultStatus: rt.returns.status,
		Metadata:      map[string]any{"route": &rt},
	}
	op.Security = []map[string][]string{} // open to everyone
	if rt.scope != 0 {
		names := slices.Sorted(slices.Values(rt.scope.Names()))
		op.Security = []map[string][]string{{"token": names}, {"session": names}}
	}
	op.Parameters = append(op.Parameters, conditions(rt)...)
	huma.Register(a.huma, op, func(ctx context.Context, in *I) (*reply, error) {
		c, _ := ctx.Value(callKey{}).(*call)
		if err := c.strays.err(badParameters); err != nil {
			return nil, a.fail(c, err)
		}
		out, err := handle(ctx, c, in)
		if err != nil {
			return nil, a.fail(c, err)
		}
		return out, nil
	})
	a.describe(rt)
}

// admit runs before every handler: it finds who asks, refuses those without the
// scope, and reads the body.
func (a *API) admit(ctx huma.Context, next func(huma.Context)) {
	r, w := humachi.Unwrap(ctx)
	rt, ok := ctx.Operation().Metadata["route"].(*route)
	if !ok {
		edge.WriteProblem(w, r, edge.FailureOf(nil))
		return
	}
	c := &call{r: r, w: w, strays: strays(r.URL.RawQuery, ctx.Operation())}
	if err := a.enter(c, rt); err != nil {
		edge.WriteProblem(w, r, a.edge.Explain(r, err))
		return
	}
	if rt.figure && a.answered(c) {
		return
	}
	next(huma.WithValue(ctx, callKey{}, c))
}

func (a *API) enter(c *call, rt *route) (err error) {
	if rt.scope != 0 {
		if c.actor, err = a.edge.Caller(c.r); err != nil {
			return err
		}
		if err := a.service.May(c.r.Context(), c.actor, rt.scope); err != nil {
			return err
		}
		if rt.scope == service.Write {
			c.actor.Reason = c.r.URL.Query().Get("reason")
		}
	}
	if rt.body != nil {
		c.body, c.mediaType, err = edge.ReadBody(c.w, c.r, rt.body.limit, rt.body.types...)
	}
	return err
}

// responses documents what a route answers.
func (a *API) responses(rt route) map[string]*huma.Response {
	out := map[string]*huma.Response{
		"default": {Description: "A failure, as a problem document", Content: map[string]*huma.MediaType{
			"application/problem+json": {Schema: a.schemas.Wire(reflect.TypeFor[edge.Problem]())},
		}},
	}
	good := &huma.Response{Description: http.StatusText(rt.returns.status), Content: map[string]*huma.MediaType{}}
	if rt.returns.schema != nil {
		good.Content["application/json"] = &huma.MediaType{Schema: rt.returns.schema}
	}
	for _, t := range rt.returns.files {
		good.Content[t] = &huma.MediaType{Schema: &huma.Schema{Type: huma.TypeString}}
	}
	if rt.returns.located {
		text := &huma.Schema{Type: huma.TypeString}
		good.Headers = map[string]*huma.Param{
			"Location": {Description: "Where what was made is found", Schema: text},
			"ETag":     {Description: "The version that the answer holds, which If-Match names", Schema: text},
		}
	}
	out[strconv.Itoa(rt.returns.status)] = good
	if rt.returns.created {
		out["201"] = &huma.Response{Description: "It is new", Content: good.Content}
	}
	if rt.returns.still != nil {
		out["200"] = &huma.Response{Description: "It is gone, and something still refers to it", Content: map[string]*huma.MediaType{jsonType: {Schema: rt.returns.still}}}
	}
	if rt.returns.awaited != nil {
		out["202"] = awaited(rt.returns.awaited)
	}
	if rt.returns.cached {
		out["304"] = &huma.Response{Description: "Not changed since the version that If-None-Match names"}
	}
	return out
}

// awaited documents an answer that is still being worked on.
func awaited(schema *huma.Schema) *huma.Response {
	text := &huma.Schema{Type: huma.TypeString}
	return &huma.Response{Description: "It is being worked on; ask again at Location",
		Content: map[string]*huma.MediaType{jsonType: {Schema: schema}},
		Headers: map[string]*huma.Param{
			"Location":    {Description: "Where the answer will be", Schema: text},
			"Retry-After": {Description: "Seconds to wait before asking again", Schema: text},
		}}
}

// conditions documents the headers that guard a change.
func conditions(rt route) []*huma.Param {
	var out []*huma.Param
	text := &huma.Schema{Type: huma.TypeString}
	if rt.scope == service.Write {
		out = append(out, &huma.Param{Name: "reason", In: "query", Schema: text, Description: "Why, in one line; kept with the change"})
	}
	if rt.changes {
		out = append(out, &huma.Param{Name: "If-Match", In: "header", Required: !rt.creates && !rt.previews, Schema: text,
			Description: "The ETag of the version that is changed"})
	}
	if rt.creates {
		out = append(out, &huma.Param{Name: "If-None-Match", In: "header", Schema: text,
			Description: "* to make something new; sent instead of If-Match"})
	}
	if rt.once {
		out = append(out, &huma.Param{Name: "Idempotency-Key", In: "header", Required: !rt.previews, Schema: text,
			Description: "A text of your own for this act; the same again gives the same answer and no second effect"})
	}
	if rt.returns.cached {
		out = append(out, &huma.Param{Name: "If-None-Match", In: "header", Schema: text,
			Description: "The ETag of the answer the client holds"})
	}
	return out
}

// describe documents what a route reads and answers. It comes after the library
// has looked at the operation: the library would read the body itself, and would
// take every answer for a text.
func (a *API) describe(rt route) {
	item := a.huma.OpenAPI().Paths[rt.path]
	op := map[string]*huma.Operation{
		http.MethodGet: item.Get, http.MethodPost: item.Post, http.MethodPut: item.Put, http.MethodDelete: item.Delete,
	}[rt.method]
	op.Responses = a.responses(rt)
	if rt.body == nil {
		return
	}
	content := map[string]*huma.MediaType{}
	for _, t := range rt.body.types {
		content[t] = &huma.MediaType{Schema: rt.body.schema}
	}
	op.RequestBody = &huma.RequestBody{Required: true, Content: content}
}
