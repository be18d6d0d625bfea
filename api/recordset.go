package api

import (
	"context"
	"net/http"
	"reflect"

	"github.com/danielgtaylor/huma/v2"

	"kerfbook/api/answer/change"
	"kerfbook/api/schema"
	"kerfbook/api/service"
	"kerfbook/costing/book/record"
)

// savedOut says what a change of several records did, or would do.
type savedOut struct {
	Written bool                 `json:"written"`
	Version string               `json:"version,omitempty" doc:"Of the book after it"`
	Records []service.RecordHead `json:"records,omitempty" doc:"As they are now: those saved in the order of the book, then those removed"`
	Lacking []warning            `json:"lacking" doc:"What the change leaves without what it refers to or needs; no figure that rests on this is given"`
}

type setQuery struct {
	Preview bool `query:"preview" doc:"Say what the change would leave lacking, and write nothing"`
}

func (a *API) setRoute() {
	records, ids := map[string]*huma.Schema{}, map[string]*huma.Schema{}
	var names []string
	text := &huma.Schema{Type: huma.TypeString}
	for _, k := range record.Kinds() {
		one := a.schemas.Read(k.Type)
		records[k.Name] = &huma.Schema{Type: huma.TypeArray, Items: one}
		if k.Only {
			records[k.Name] = one
		}
		ids[k.Name] = &huma.Schema{Type: huma.TypeArray, Items: text}
		names = append(names, k.Name)
	}
	set := schema.Object(map[string]*huma.Schema{"records": schema.Object(records, names...), "remove": schema.Object(ids, names...),
		"if_match": {Type: huma.TypeObject, AdditionalProperties: text,
			Description: "Versions that are changed or removed, by kind and id, as in parts/A-10; a record without one is new"}},
		"records", "remove", "if_match")
	add(a, route{method: http.MethodPost, path: Base + "/records", id: "save-records", tag: "records", scope: service.Write,
		summary: "Save and remove several records in one change: all of it, or nothing",
		about: "Records stand in lists named like those of the book. They are held against the whole book as it is after all of them. " +
			"A reference to what is not there is named under lacking and stops nothing. A preview needs no Idempotency-Key.",
		once: true, previews: true,
		body:    &body{schema: set, types: jsonOrYAML, limit: a.edge.Config.BookLimit},
		returns: answerForm{status: 200, schema: a.schemas.Wire(reflect.TypeFor[savedOut]())}}, a.saveRecords)
}

func (a *API) saveRecords(ctx context.Context, c *call, in *setQuery) (*reply, error) {
	if err := c.checkSyntax(); err != nil {
		return nil, err
	}
	drafts, err := change.ReadSet(c.body)
	if err != nil {
		return nil, err
	}
	if in.Preview {
		lacking, err := a.service.Preview(ctx, drafts)
		if err != nil {
			return nil, err
		}
		return c.ok(http.StatusOK, savedOut{Lacking: warningsOut(lacking)})
	}
	return a.once(ctx, c, func(tx service.Tx) (int, any, error) {
		done, err := a.service.SaveIn(ctx, tx, c.actor, drafts)
		return http.StatusOK, savedWire(done), err
	})
}

func savedWire(done service.SaveResult) savedOut {
	out := savedOut{Written: true, Version: string(done.Version), Lacking: warningsOut(done.Lacking)}
	for _, r := range done.Records {
		out.Records = append(out.Records, r.RecordHead)
	}
	return out
}
