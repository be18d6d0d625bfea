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
	"kerfbook/costing/estimate"
)

// ScenarioRequest is a scenario to be kept, or the name that one is to have from now on.
type ScenarioRequest struct {
	Name    string        `book:"name"`  // another one than it has
	Day     bom.Date      `book:"day"`   // on which the changes are looked for; today if absent
	Batch   string        `book:"batch"` // such as glow=250,plain=100
	As      string        `book:"as"`    // one for one batch
	Changes []InputChange `book:"changes"`
}

// ScenarioComparisonRequest asks for scenarios beside the book as it is.
type ScenarioComparisonRequest struct {
	Day       bom.Date           `book:"day"`
	Mix       []estimate.MixLine `book:"mix,required"`
	Scenarios []string           `book:"scenarios,required"` // names
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

// mostCompared is how many scenarios are held against one another.
const mostCompared = 10

func (a *API) scenarioRoutes() {
	one := answerForm{status: 200, schema: a.schemas.Wire(reflect.TypeFor[service.Scenario]())}
	of := func(method, path, id, summary string, scope service.Scopes, form answerForm) route {
		return route{method: method, path: Base + "/scenarios" + path, id: id, tag: "scenarios", summary: summary, scope: scope, returns: form}
	}
	add(a, of(http.MethodGet, "", "list-scenarios", "The scenarios that are kept", service.Read, answerForm{status: 200, schema: a.schemas.Wire(reflect.TypeFor[scenarioList]())}),
		func(ctx context.Context, c *call, _ *none) (*reply, error) {
			list, err := a.service.Scenarios(ctx)
			if err != nil {
				return nil, err
			}
			return c.ok(http.StatusOK, scenarioList{list})
		})
	cached := one
	cached.cached = true
	add(a, of(http.MethodGet, "/{name}", "get-scenario", "A scenario: several changes under a name, none of which is made", service.Read, cached),
		func(ctx context.Context, c *call, in *scenarioName) (*reply, error) {
			found, err := a.service.Scenario(ctx, in.named())
			if err != nil {
				return nil, err
			}
			data, err := encode(found)
			if err != nil {
				return nil, err
			}
			return c.tagged(edge.ETag(string(found.Version)), jsonType, data), nil
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
		if err != nil {
			return nil, err
		}
		if err := a.service.RemoveScenario(ctx, c.actor, in.named(), version); err != nil {
			return nil, err
		}
		return nothing()
	})
	compared := figureRoute[ScenarioComparisonRequest, change.ScenarioComparison](a, "/scenario-comparisons", "compare-scenarios", "A batch as it is and after each of several scenarios")
	compared.figure = false // scenarios change without the book
	add(a, compared, reading(a.compareScenarios))
}

func (a *API) putScenario(ctx context.Context, c *call, in *scenarioName) (*reply, error) {
	sent, err := decode[ScenarioRequest](c)
	if err != nil {
		return nil, err
	}
	req := service.ScenarioRequest{Name: in.named(), Rename: sent.Name, Batch: sent.Batch, As: sent.As, Day: a.dayOr(sent.Day), Changes: changesOf(sent.Changes)}
	var f faults
	if len(req.Changes) == 0 && req.Rename == "" || len(req.Changes) > maxChanges {
		f.add("/changes", "name 1 to %d changes, or another name", maxChanges)
	}
	if req.As != "" && req.As != "one" {
		f.add("/as", "is one, or nothing")
	}
	if err := f.err("the scenario cannot be kept"); err != nil {
		return nil, err
	}
	status, isNew := http.StatusOK, edge.MustBeNew(c.r.Header)
	if isNew {
		status = http.StatusCreated
	} else if req.IfMatch, err = c.version(); err != nil {
		return nil, err
	}
	kept, err := a.service.KeepScenario(ctx, c.actor, req)
	if isNew {
		err = alreadyThere(err)
	}
	if err != nil {
		return nil, err
	}
	c.w.Header().Set("ETag", edge.ETag(string(kept.Version)))
	return c.ok(status, kept)
}

func (a *API) compareScenarios(ctx context.Context, c *call, in ScenarioComparisonRequest) (*reply, error) {
	if err := checkMix(in.Mix, "/mix"); err != nil {
		return nil, err
	}
	var f faults
	if len(in.Scenarios) > mostCompared {
		f.add("/scenarios", "%d scenarios; at most %d are compared at once", len(in.Scenarios), mostCompared)
	}
	if err := f.err("more is asked for than is computed at once"); err != nil {
		return nil, err
	}
	out, err := a.service.CompareScenarios(ctx, in.Mix, a.dayOr(in.Day), in.Scenarios)
	return c.answer(out, err)
}
