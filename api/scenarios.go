package api

import (
	"context"
	"net/http"
	"net/url"
	"reflect"

	"kerfbook/api/answer/change"
	"kerfbook/api/edge"
	"kerfbook/api/service"
	"kerfbook/bom"
)

// ScenarioRequest is a scenario to be kept, or the name that one is to have from now on.
type ScenarioRequest struct {
	Name    string          `book:"name"`  // another one than it has
	Day     bom.Date        `book:"day"`   // on which the changes are looked for; today if absent
	Batch   string          `book:"batch"` // such as glow=250,plain=100
	As      string          `book:"as"`    // one for one batch
	Changes []change.Change `book:"changes"`
}

// scenarioList are all scenarios.
type scenarioList struct {
	Items []service.Scenario `json:"items"`
}

type scenarioName struct {
	Name string `path:"name" maxLength:"200" doc:"Its name"`
}

// named is the name as it was meant.
func (n scenarioName) named() string {
	if name, err := url.PathUnescape(n.Name); err == nil {
		return name
	}
	return n.Name
}

func (a *API) scenarioRoutes() {
	one := answerForm{status: 200, schema: a.schemas.Wire(reflect.TypeFor[service.Scenario]())}
	of := func(method, path, id, summary string, scope service.Scopes, form answerForm) route {
		return route{method: method, path: Base + "/scenarios" + path, id: id, tag: "scenarios", summary: summary, scope: scope, returns: form}
	}
	add(a, of(http.MethodGet, "", "list-scenarios", "The scenarios that are kept", service.Read, answerForm{status: 200, schema: a.schemas.Wire(reflect.TypeFor[scenarioList]())}),
		func(ctx context.Context, c *call, _ *none) (*reply, error) {
			list, err := a.service.Scenarios(ctx)
			return c.answer(scenarioList{list}, err)
		})
	add(a, of(http.MethodGet, "/{name}", "get-scenario", "A scenario: several changes under a name, none of which is made", service.Read, one),
		func(ctx context.Context, c *call, in *scenarioName) (*reply, error) {
			found, err := a.service.Scenario(ctx, in.named())
			return a.scenario(c, http.StatusOK, found, err)
		})
	put := of(http.MethodPut, "/{name}", "put-scenario", "Keep changes under a name, or give a scenario another name", service.Write, answerForm{status: 200, schema: one.schema, created: true})
	put.about = "The book stays as it is. A body with a name alone gives the scenario that name."
	put.body = &body{schema: a.schemas.Read(reflect.TypeFor[ScenarioRequest]()), types: onlyJSON, limit: a.edge.Config.BodyLimit}
	put.changes, put.creates = true, true
	add(a, put, a.putScenario)
	remove := of(http.MethodDelete, "/{name}", "delete-scenario", "Forget a scenario; the book stays as it is", service.Write, answerForm{status: 204})
	remove.changes = true
	add(a, remove, func(ctx context.Context, c *call, in *scenarioName) (*reply, error) {
		version, err := c.version()
		if err == nil {
			err = a.service.RemoveScenario(ctx, c.actor, in.named(), version)
		}
		if err != nil {
			return nil, err
		}
		return nothing()
	})
}

// scenario answers with one and its version.
func (a *API) scenario(c *call, status int, s service.Scenario, err error) (*reply, error) {
	if err != nil {
		return nil, err
	}
	c.w.Header().Set("ETag", edge.ETag(string(s.Version)))
	return c.ok(status, s)
}

func (a *API) putScenario(ctx context.Context, c *call, in *scenarioName) (*reply, error) {
	sent, err := decode[ScenarioRequest](c)
	if err != nil {
		return nil, err
	}
	var f faults
	if (len(sent.Changes) == 0) == (sent.Name == "") || len(sent.Changes) > maxChanges {
		f.add("/changes", "name 1 to %d changes, or another name", maxChanges)
	}
	if sent.As != "" && sent.As != "one" {
		f.add("/as", "is one, or nothing")
	}
	if err := f.err("the scenario cannot be kept"); err != nil {
		return nil, err
	}
	req := service.ScenarioRequest{Name: in.named(), Batch: sent.Batch, As: sent.As, Day: a.dayOr(sent.Day), Changes: sent.Changes}
	if edge.MustBeNew(c.r.Header) {
		kept, err := a.service.KeepScenario(ctx, c.actor, req, "")
		return a.scenario(c, http.StatusCreated, kept, alreadyThere(err))
	}
	version, err := c.version()
	if err != nil {
		return nil, err
	}
	kept, err := service.Scenario{}, error(nil)
	if sent.Name != "" {
		kept, err = a.service.RenameScenario(ctx, c.actor, req.Name, sent.Name, version)
	} else {
		kept, err = a.service.KeepScenario(ctx, c.actor, req, version)
	}
	return a.scenario(c, http.StatusOK, kept, err)
}
