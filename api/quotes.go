package api

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"reflect"
	"strconv"

	"kerfbook/api/answer"
	"kerfbook/api/edge"
	"kerfbook/api/service"
	"kerfbook/api/service/promise"
	"kerfbook/costing/graph/proof"
)

type quoteID struct {
	Number string `path:"number" maxLength:"40"`
}

type quotePreview struct {
	Revises string `query:"revises" maxLength:"40" doc:"Number of the quote that would be revised; absent for a new one"`
}

type oneQuote struct {
	Number   string `path:"number" maxLength:"40"`
	Revision int    `query:"revision" minimum:"1" doc:"An older revision; the newest if absent"`
}

type quoteFile struct {
	Number   string `path:"number" maxLength:"40"`
	Format   string `path:"format" maxLength:"20" doc:"pdf, letter.pdf, csv, semicolon.csv with decimal commas, data.csv, xlsx; cost.xlsx is for the shop alone"`
	Revision int    `query:"revision" minimum:"1" doc:"An older revision; the newest if absent"`
}

type quoteProof struct {
	Number   string `path:"number" maxLength:"40"`
	Key      string `query:"key" required:"true" maxLength:"400" doc:"Of the figure"`
	Depth    int    `query:"depth" minimum:"-1" maximum:"1000" default:"3" doc:"Levels to open; -1 opens all"`
	Revision int    `query:"revision" minimum:"1" doc:"An older revision; the newest if absent"`
}

func (a *API) quoteRoutes() {
	document := answerForm{status: 200, schema: a.schemas.Wire(reflect.TypeFor[quoteOut]())}
	created := document
	created.status, created.located = http.StatusCreated, true
	kept := document
	kept.cached = true
	add(a, a.quoteRoute(http.MethodGet, "/quotes", "list-quotes", "Quotes, the newest number first", service.Prices,
		answerForm{status: 200, schema: a.schemas.Wire(reflect.TypeFor[quotePage]())}), a.quotes)
	add(a, a.quoteRoute(http.MethodGet, "/quotes/{number}", "get-quote", "A quote as it was issued", service.Prices, kept), a.quote)
	add(a, a.quoteRoute(http.MethodGet, "/quotes/{number}/proof", "get-quote-proof", "How a figure of a quote was made, from what is stored with it", service.Read,
		answerForm{status: 200, schema: a.schemas.Wire(reflect.TypeFor[proof.Step]())}), a.quoteProof)
	add(a, a.quoteRoute(http.MethodGet, "/quotes/{number}/files/{format}", "get-quote-file", "A quote as a file", service.Prices,
		answerForm{status: 200, files: []string{"application/pdf", "text/csv", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"}}), a.quoteFile)
	add(a, a.withQuote(a.quoteRoute(http.MethodPost, "/quote-previews", "preview-quote", "A quote as it would be issued; nothing is written", service.Prices, document)), a.previewQuote)

	issue := a.withQuote(a.quoteRoute(http.MethodPost, "/quotes", "issue-quote", "Issue a quote under the next number", service.Quote, created))
	issue.once = true
	add(a, issue, a.issueQuote)
	revise := a.withQuote(a.quoteRoute(http.MethodPost, "/quotes/{number}/revisions", "revise-quote", "Issue the next revision of a quote", service.Quote, created))
	revise.once, revise.changes = true, true
	add(a, revise, a.reviseQuote)
	withdraw := a.quoteRoute(http.MethodPost, "/quotes/{number}/withdrawal", "withdraw-quote", "Take a quote back for good", service.Quote, document)
	withdraw.once, withdraw.changes = true, true
	add(a, withdraw, a.withdrawQuote)
}

func (a *API) quoteRoute(method, path, id, summary string, scope service.Scopes, form answerForm) route {
	return route{method: method, path: Base + path, id: id, tag: "quotes", summary: summary, scope: scope, returns: form}
}

// withQuote adds the body that asks for a quote.
func (a *API) withQuote(rt route) route {
	rt.body = &body{schema: a.schemas.Read(reflect.TypeFor[QuoteRequest]()), types: onlyJSON, limit: a.edge.Config.BodyLimit}
	return rt
}

func (a *API) quotes(ctx context.Context, c *call, in *pageParams) (*reply, error) {
	after, size, err := a.page("quotes", *in)
	if err != nil {
		return nil, err
	}
	heads, next, err := a.service.Quotes(ctx, after, size)
	if err != nil {
		return nil, err
	}
	out := quotePage{Items: []quoteHead{}, Next: cursor("quotes", next)}
	for _, h := range heads {
		out.Items = append(out.Items, quoteHeadWire(h))
	}
	return c.ok(http.StatusOK, out)
}

func (a *API) quote(ctx context.Context, c *call, in *oneQuote) (*reply, error) {
	d, err := a.service.Quote(ctx, in.Number, in.Revision)
	if err != nil {
		return nil, err
	}
	data, err := encode(quoteWire(c.actor, d))
	if err != nil {
		return nil, err
	}
	return c.tagged(edge.ETag(string(d.Version())), jsonType, data), nil
}

func (a *API) quoteProof(ctx context.Context, c *call, in *quoteProof) (*reply, error) {
	step, err := a.service.ExplainQuote(ctx, in.Number, in.Revision, in.Key, in.Depth)
	return c.answer(step, err)
}

func (a *API) quoteFile(ctx context.Context, c *call, in *quoteFile) (*reply, error) {
	release, err := a.edge.Place(ctx)
	if err != nil {
		return nil, err
	}
	defer release()
	data, name, mediaType, err := a.service.QuoteFile(ctx, c.actor, in.Number, in.Revision, in.Format)
	if err != nil {
		return nil, err
	}
	c.w.Header().Set("Content-Type", mediaType)
	c.w.Header().Set("Content-Disposition", edge.Attachment(name))
	return &reply{http.StatusOK, data}, nil
}

func (a *API) previewQuote(ctx context.Context, c *call, in *quotePreview) (*reply, error) {
	request, _, err := quoteRequest(c)
	if err != nil {
		return nil, err
	}
	d, err := placed(ctx, a, func() (promise.Quote, error) { return a.service.PreviewQuote(ctx, c.actor, in.Revises, request) })
	if err != nil {
		return nil, err
	}
	return c.ok(http.StatusOK, quoteWire(c.actor, d))
}

func (a *API) issueQuote(ctx context.Context, c *call, _ *none) (*reply, error) {
	in, seen, err := quoteRequest(c)
	if err != nil {
		return nil, err
	}
	made, err := a.once(ctx, c, func(tx service.Tx) (int, any, error) {
		d, err := a.service.IssueQuote(ctx, tx, c.actor, "", in, seen)
		return quoteMade(c.actor, d, err)
	})
	return located(c, made, err, "")
}

func (a *API) reviseQuote(ctx context.Context, c *call, in *quoteID) (*reply, error) {
	version, err := c.version()
	if err != nil {
		return nil, err
	}
	request, seen, err := quoteRequest(c)
	if err != nil {
		return nil, err
	}
	made, err := a.once(ctx, c, func(tx service.Tx) (int, any, error) {
		if err := a.seen(ctx, tx, in.Number, version); err != nil {
			return 0, nil, err
		}
		d, err := a.service.IssueQuote(ctx, tx, c.actor, in.Number, request, seen)
		return quoteMade(c.actor, d, stateFault(err))
	})
	return located(c, made, err, "?revision=")
}

// located says where the quote that was issued is found and which version of it
// the answer holds. Both come from the answer, so that a replay says the same.
func located(c *call, made *reply, err error, revision string) (*reply, error) {
	if err != nil {
		return nil, err
	}
	var q struct {
		Number   string `json:"number"`
		Revision int    `json:"revision"`
		Version  string `json:"version"`
	}
	if err := json.Unmarshal(made.Body, &q); err != nil {
		return nil, err
	}
	if revision != "" {
		revision += strconv.Itoa(q.Revision)
	}
	c.w.Header().Set("Location", Base+"/quotes/"+q.Number+revision)
	c.w.Header().Set("ETag", edge.ETag(q.Version))
	return made, nil
}

func quoteMade(a service.Actor, d promise.Quote, err error) (int, any, error) {
	if err != nil {
		return 0, nil, err
	}
	return http.StatusCreated, quoteWire(a, d), nil
}

func (a *API) withdrawQuote(ctx context.Context, c *call, in *quoteID) (*reply, error) {
	version, err := c.version()
	if err != nil {
		return nil, err
	}
	return a.once(ctx, c, func(tx service.Tx) (int, any, error) {
		if err := a.seen(ctx, tx, in.Number, version); err != nil {
			return 0, nil, err
		}
		if err := a.service.WithdrawQuote(ctx, tx, c.actor, in.Number); err != nil {
			return 0, nil, stateFault(err)
		}
		d, err := a.service.QuoteIn(ctx, tx, in.Number)
		if err != nil {
			return 0, nil, err
		}
		return http.StatusOK, quoteWire(c.actor, d), nil
	})
}

// seen refuses a change of a quote that has changed since it was read. It runs in
// the transaction of the change.
func (a *API) seen(ctx context.Context, tx service.Tx, number string, version answer.Version) error {
	d, err := a.service.QuoteIn(ctx, tx, number)
	if err != nil {
		return err
	}
	if d.Version() != version {
		return &edge.Refusal{Kind: edge.VersionConflict, Detail: fmt.Sprintf("quote %s has changed since that version; read it again", d.Number)}
	}
	return nil
}

// stateFault tells a step that cannot be taken from a version that is old, which
// seen has refused before.
func stateFault(err error) error {
	var known *answer.Error
	if errors.As(err, &known) && known.Code == answer.Conflict {
		return &edge.Refusal{Kind: edge.WrongState, Detail: known.Message}
	}
	return err
}
