package api

import (
	"context"
	"crypto/sha256"
	_ "embed"
	"encoding/hex"
	"fmt"
	"net/http"
	"reflect"

	"kerfbook/api/edge"
	"kerfbook/api/service"
)

// document is the description of all routes. It holds no secret, and whoever
// writes a client needs it before they have a token; so it is open to everyone.
//
//go:embed openapi.yaml
var document []byte

var documentTag = func() string {
	sum := sha256.Sum256(document)
	return edge.ETag(hex.EncodeToString(sum[:16]))
}()

// state is the answer of the checks of life.
type state struct {
	Status string `json:"status" enum:"ok"`
}

// none are the parameters of a route that has none.
type none struct{}

type kindParams struct {
	Kind string `path:"kind" maxLength:"60" doc:"The last element of a problem's type"`
}

// logReport is what a check of the change log found.
type logReport struct {
	Intact  bool               `json:"intact"`
	Entries int64              `json:"entries"`
	Head    string             `json:"head" doc:"Hash of the last entry; keep it elsewhere, and a log cut short shows"`
	Faults  []service.LogFault `json:"faults"`
}

func (a *API) systemRoutes() {
	stateForm := answerForm{status: 200, schema: a.schemas.Wire(reflect.TypeFor[state]())}
	add(a, route{method: http.MethodGet, path: "/healthz", id: "health", tag: "system", returns: stateForm,
		summary: "Whether the process is alive; it asks nobody"}, a.health)
	add(a, route{method: http.MethodGet, path: "/readyz", id: "readiness", tag: "system", returns: stateForm,
		summary: "Whether the server answers requests now"}, a.ready)
	add(a, route{method: http.MethodGet, path: Base + "/openapi.yaml", id: "document", tag: "system",
		returns: answerForm{status: 200, files: []string{"application/openapi+yaml"}, cached: true},
		summary: "This document"}, a.openapi)
	add(a, route{method: http.MethodGet, path: edge.ProblemType + "{kind}", id: "problem-help", tag: "system",
		returns: answerForm{status: 200, files: []string{"text/plain"}},
		summary: "What a kind of failure means and what to do about it"}, a.help)
	add(a, route{method: http.MethodGet, path: Base + "/audit", id: "verify-log", tag: "access", scope: service.Admin,
		returns: answerForm{status: 200, schema: a.schemas.Wire(reflect.TypeFor[logReport]())},
		summary: "Check the whole change log, and every stored revision and quote against it"}, a.audit)
}

func (a *API) health(_ context.Context, c *call, _ *none) (*reply, error) {
	return c.ok(http.StatusOK, state{"ok"})
}

func (a *API) ready(ctx context.Context, c *call, _ *none) (*reply, error) {
	if err := a.edge.Ready(ctx, a.service.Ready); err != nil {
		return nil, err
	}
	return c.ok(http.StatusOK, state{"ok"})
}

func (a *API) openapi(_ context.Context, c *call, _ *none) (*reply, error) {
	return c.tagged(documentTag, "application/openapi+yaml", document), nil
}

func (a *API) help(_ context.Context, c *call, in *kindParams) (*reply, error) {
	kind := edge.Kind(in.Kind)
	if kind.Status() == 0 {
		return nil, &edge.Refusal{Kind: edge.NotFound, Detail: "there is no such kind of failure"}
	}
	c.w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	c.w.Header().Set("Cache-Control", "no-cache")
	text := fmt.Sprintf("%s (%s, status %d)\n\n%s\n", kind.Title(), kind, kind.Status(), kind.Help())
	return &reply{http.StatusOK, []byte(text)}, nil
}

func (a *API) audit(ctx context.Context, c *call, _ *none) (*reply, error) {
	report, err := a.service.VerifyLog(ctx)
	if err != nil {
		return nil, err
	}
	return c.ok(http.StatusOK, logReport{Intact: len(report.Faults) == 0, Entries: report.Entries, Head: report.Head,
		Faults: append([]service.LogFault{}, report.Faults...)})
}
