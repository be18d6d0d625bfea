package api

import (
	"context"
	"encoding/json"
	"net/http"
	"reflect"

	"kerfbook/api/answer/change"
	"kerfbook/api/service"
	"kerfbook/costing/book/record"
)

// starterOut is a material, a set of tools, a set-up or sizes of stock that a book can take in.
type starterOut struct {
	Name      string                       `json:"name"`
	Title     string                       `json:"title"`
	About     string                       `json:"about"`
	Source    string                       `json:"source"`
	CheckedOn string                       `json:"checked_on" doc:"The day on which it was last looked at"`
	Records   map[string][]json.RawMessage `json:"records" doc:"What the book does not have of it, in the form that saving several records takes"`
	Fields    map[string]json.RawMessage   `json:"fields,omitempty" doc:"Of a set-up: setup and programming, for a work centre of the book to take over"`
	Stocks    []json.RawMessage            `json:"stocks,omitempty" doc:"Of sizes of stock: records that lack their material, which the shop adds"`
	Kept      []string                     `json:"kept,omitempty" doc:"Ids of records that the book has already"`
	Open      []string                     `json:"open,omitempty" doc:"Operations that leave the choice of a tool open and may take one of these; their cost may change"`
}

// starterList is all of them.
type starterList struct {
	Items []starterOut `json:"items"`
}

func (a *API) starterRoute() {
	add(a, route{method: http.MethodGet, path: Base + "/starters", id: "list-starters", tag: "records", scope: service.Read,
		summary: "Materials, sets of tools, set-ups and sizes of stock that ship with the program, with their sources, as records that the book can take in",
		about:   "Nothing is taken in by asking. Send the records of one to POST /records; put the fields of a set-up into a work centre; give stock its material.",
		returns: answerForm{status: 200, schema: a.schemas.Wire(reflect.TypeFor[starterList]())}}, a.starters)
}

func (a *API) starters(ctx context.Context, c *call, _ *none) (*reply, error) {
	b, _, err := a.service.Book(ctx)
	if err != nil {
		return nil, err
	}
	all, err := change.Takings(b)
	if err != nil {
		return nil, err
	}
	out := starterList{Items: []starterOut{}}
	for _, s := range all {
		one := starterOut{Name: string(s.ID), Title: s.Name, About: s.About, Source: s.Source, CheckedOn: string(s.CheckedOn),
			Records: map[string][]json.RawMessage{}, Kept: s.Kept, Open: s.Open}
		for _, d := range s.Drafts {
			one.Records[d.Kind.Name] = append(one.Records[d.Kind.Name], record.JSON(d.Value))
		}
		if s.Setup != nil {
			one.Fields = map[string]json.RawMessage{"setup": record.JSON(reflect.ValueOf(*s.Setup)), "programming": record.JSON(reflect.ValueOf(*s.Programming))}
		}
		for i := range s.Stocks {
			one.Stocks = append(one.Stocks, record.JSON(reflect.ValueOf(s.Stocks[i])))
		}
		out.Items = append(out.Items, one)
	}
	return c.ok(http.StatusOK, out)
}
