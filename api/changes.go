package api

import (
	"context"
	"net/http"
	"reflect"
	"strconv"
	"time"

	"kerfbook/api/answer/change"
	"kerfbook/api/service"
	"kerfbook/costing/text"
)

// changeOut is what was done together.
type changeOut struct {
	Number  int64             `json:"number" doc:"Of its first entry in the change log"`
	At      time.Time         `json:"at" doc:"When"`
	Actor   string            `json:"actor" doc:"Who made it"`
	Action  string            `json:"action" doc:"In a word: put, change, import, undo, issue quote"`
	Object  string            `json:"object" doc:"What its first entry is about, such as parts/HS-010@3"`
	Reason  string            `json:"reason,omitempty" doc:"As it was given, in one line"`
	Records []recordChangeOut `json:"records" doc:"The records that it changed"`
	Effect  *change.Effect    `json:"effect,omitempty" doc:"What it did to full costs; of a list only for the first three and for those that somebody has opened"`
}

type recordChangeOut struct {
	Kind     string                 `json:"kind"`
	ID       string                 `json:"id"`
	Revision int                    `json:"revision"`
	Did      string                 `json:"did" enum:"added,changed,removed,words" doc:"What was done to the record; words: the text around it"`
	Fields   []text.FieldDifference `json:"fields" doc:"What differs; of a list that of the first records of a change"`
}

type changePage struct {
	Items []changeOut `json:"items"`
	Next  string      `json:"next,omitempty" doc:"The cursor of the next page; absent on the last"`
}

type changesQuery struct {
	After    string `query:"after" maxLength:"400" doc:"The cursor of the page before, from its next; its form may change at any time"`
	PageSize int    `query:"page_size" minimum:"1" doc:"Entries a page, 50 if absent; more than 200 are cut to 200"`
	Actor    string `query:"actor" maxLength:"100" doc:"Those of one person or token"`
	Record   string `query:"record" maxLength:"200" doc:"Those of one record or quote, such as parts/HS-010"`
}

type changeNumber struct {
	Change int64 `path:"change" minimum:"1" doc:"Its number"`
}

// toldOf is of how many records of a change a list tells the fields.
const toldOf = 3

func (a *API) changeRoutes() {
	add(a, route{method: http.MethodGet, path: Base + "/changes", id: "list-changes", tag: "changes", scope: service.Read,
		summary: "Who changed what, when and why, the newest first",
		returns: answerForm{status: 200, schema: a.schemas.Wire(reflect.TypeFor[changePage]())}}, a.changes)
	add(a, route{method: http.MethodGet, path: Base + "/changes/{change}", id: "get-change", tag: "changes", scope: service.Read,
		summary: "One change, with what it did to full costs on its day",
		returns: answerForm{status: 200, schema: a.schemas.Wire(reflect.TypeFor[changeOut]())}}, a.change)
	add(a, route{method: http.MethodPost, path: Base + "/changes/{change}/undo", id: "undo-change", tag: "changes", scope: service.Write,
		summary: "Put back what records said before a change, as a change of its own",
		about:   "It is refused where one of them was changed since. A change has one undoing, so no version is named: the second is refused.",
		returns: answerForm{status: 200, schema: a.schemas.Wire(reflect.TypeFor[savedOut]())}}, a.undoChange)
}

func (a *API) changes(ctx context.Context, c *call, in *changesQuery) (*reply, error) {
	after, size, err := a.page("changes", pageParams{in.After, in.PageSize})
	if err != nil {
		return nil, err
	}
	of := service.ChangesOf{Actor: in.Actor, Record: in.Record, SignIns: true, Told: toldOf}
	of.Before, _ = strconv.ParseInt(after, 10, 64) // a cursor of ours
	found, more, err := a.service.History(ctx, of, size)
	if err != nil {
		return nil, err
	}
	out := changePage{Items: []changeOut{}}
	for _, one := range found {
		out.Items = append(out.Items, changeWire(one))
	}
	if more {
		out.Next = cursor("changes", strconv.FormatInt(found[len(found)-1].Seq, 10))
	}
	return c.ok(http.StatusOK, out)
}

func (a *API) change(ctx context.Context, c *call, in *changeNumber) (*reply, error) {
	found, err := placed(ctx, a, func() (service.Change, error) { return a.service.ChangeAt(ctx, in.Change) })
	return c.answer(changeWire(found), err)
}

func (a *API) undoChange(ctx context.Context, c *call, in *changeNumber) (*reply, error) {
	done, err := a.service.Undo(ctx, c.actor, in.Change)
	return c.answer(savedWire(done), err)
}

func changeWire(c service.Change) changeOut {
	out := changeOut{Number: c.Seq, At: c.At.UTC(), Actor: c.Actor, Action: c.Action, Object: c.Object, Reason: c.Reason, Records: []recordChangeOut{}, Effect: c.Effect}
	for _, r := range c.Records {
		fields := r.Fields
		if fields == nil {
			fields = []text.FieldDifference{}
		}
		out.Records = append(out.Records, recordChangeOut{r.Kind, r.ID, r.Revision, r.Did, fields})
	}
	return out
}
