package api

import (
	"strings"
	"testing"

	"kerfbook/api/answer/change"
	"kerfbook/api/service"
)

// TestScenariosOverTheAPI asks what numbers, a word and something taken away would do
// together, keeps that under a name, gives it another, takes it over and forgets it.
func TestScenariosOverTheAPI(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	const mix = `"mix":[{"product":"LAMP","trim":"plain","quantity":"100"}]`
	const changes = `"changes":[{"key":"work-centre/MILL/labour-rate","value":27.50},{"key":"book/parts/HS-010/routing[2]"},{"key":"book/parts/HS-010/routing[3].work_centre","value":"MILL"}]`
	shown := into[change.WhatIf](t, w.want(t, 200, ask{method: "POST", path: "/api/v1/what-ifs", body: "{" + mix + "," + changes + "}"}))
	if len(shown.Changes) != 3 || shown.Changes[1].After.Value != "" || shown.Changes[2].Before.Value != "BENCH" || len(shown.Moves) != 2 || len(shown.Moves[0].Figures[0].Because) == 0 {
		t.Fatalf("%+v, %d moves, because %+v", shown.Changes, len(shown.Moves), shown.Moves[0].Figures[0].Because)
	}
	const path = "/api/v1/scenarios/no%20fins"
	fresh := map[string]string{"If-None-Match": "*"}
	w.want(t, 422, ask{method: "PUT", path: path, header: fresh, body: `{"batch":"plain=100","changes":[{"key":"book/parts/HS-010/routing[9]"}]}`})
	w.want(t, 422, ask{method: "PUT", path: path, header: fresh, body: `{"batch":"plian=100",` + changes + `}`})
	w.want(t, 201, ask{method: "PUT", path: path, header: fresh, body: `{"batch":"plain=100",` + changes + `}`})
	w.want(t, 412, ask{method: "PUT", path: path, header: fresh, body: `{"batch":"plain=100",` + changes + `}`})
	kept := into[service.Scenario](t, w.want(t, 200, ask{method: "GET", path: path}))
	if kept.Name != "no fins" || kept.Batch != "plain=100" || kept.Changes[1].Was != "" || !strings.HasPrefix(kept.Changes[1].Entry, "30 slit") {
		t.Errorf("%+v", kept)
	}
	renamed := w.want(t, 200, ask{method: "PUT", path: path, header: map[string]string{"If-Match": `"` + string(kept.Version) + `"`}, body: `{"name":"slab"}`})
	w.want(t, 404, ask{method: "GET", path: path})
	if list := into[scenarioList](t, w.want(t, 200, ask{method: "GET", path: "/api/v1/scenarios"})); len(list.Items) != 1 || list.Items[0].Name != "slab" {
		t.Errorf("%+v", list)
	}
	w.want(t, 422, ask{method: "POST", path: "/api/v1/what-ifs", body: "{" + mix + `,"scenario":"slab",` + changes + "}"})
	again := into[change.WhatIf](t, w.want(t, 200, ask{method: "POST", path: "/api/v1/what-ifs", body: "{" + mix + `,"scenario":"slab"}`}))
	if again.After.Variants[0].Full.Value != shown.After.Variants[0].Full.Value {
		t.Error("the scenario gives other figures than its changes")
	}
	take := ask{method: "POST", path: "/api/v1/changes", body: "{" + mix + `,"scenario":"slab"}`, header: map[string]string{"If-Match": `"old"`}}
	w.problem(t, 412, take)
	take.header["If-Match"] = `"` + string(shown.Version) + `"`
	next := w.want(t, 200, take).Header().Get("ETag")
	lapsed := into[change.WhatIf](t, w.want(t, 200, ask{method: "POST", path: "/api/v1/what-ifs", body: "{" + mix + `,"scenario":"slab"}`}))
	if len(lapsed.Lapsed) != 3 || lapsed.Before.Variants[0].Full.Value != shown.After.Variants[0].Full.Value {
		t.Errorf("%+v", lapsed.Lapsed)
	}
	w.problem(t, 422, ask{method: "POST", path: "/api/v1/changes", body: "{" + mix + `,"scenario":"slab"}`, header: map[string]string{"If-Match": next}})
	w.want(t, 204, ask{method: "DELETE", path: "/api/v1/scenarios/slab", header: map[string]string{"If-Match": renamed.Header().Get("ETag")}})
	w.want(t, 404, ask{method: "GET", path: "/api/v1/scenarios/slab"})
}
