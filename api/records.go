package api

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"reflect"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"kerfbook/api/answer"
	"kerfbook/api/edge"
	"kerfbook/api/schema"
	"kerfbook/api/service"
	"kerfbook/costing/book/record"
)

// recordOut is a record with its content.
type recordOut struct {
	service.RecordHead
	Record json.RawMessage `json:"record,omitempty"`
	unreadRecord
	Lacking []warning `json:"lacking,omitempty" doc:"Of an answer to saving: what it leaves without what it refers to or needs; no figure that rests on this is given"`
}

// unreadRecord is what there is of a record that this program cannot read.
type unreadRecord struct {
	Text   string    `json:"text,omitempty" doc:"The record as it is stored, where this program cannot read it; it takes no part in any figure"`
	Unread []warning `json:"unread,omitempty" doc:"Why it cannot be read"`
}

// recordPage is a page of a list.
type recordPage struct {
	Items []service.RecordHead `json:"items"`
	Next  string               `json:"next,omitempty" doc:"The cursor of the next page; absent on the last"`
}

type recordID struct {
	ID string `path:"id" maxLength:"200" doc:"Its id or number; offers FOR.SUPPLIER, prices PRODUCT.TRIM.CHANNEL with _ for no trim, destinations the country with the region if any"`
}

type revisionParam struct {
	Revision int `query:"revision" minimum:"1" doc:"An older revision; the present one if absent"`
}

// oneRecord repeats the two: the library passes over embedded parameters.
type oneRecord struct {
	ID       string `path:"id" maxLength:"200" doc:"Its id or number"`
	Revision int    `query:"revision" minimum:"1" doc:"An older revision; the present one if absent"`
}

// removedOut names what still refers to a record that was removed.
type removedOut struct {
	Lacking []warning `json:"lacking" doc:"What still refers to it; no figure that rests on this is given"`
}

func (a *API) recordRoutes() {
	for _, k := range record.Kinds() {
		r := recordsOf{a, k}
		if k.Only {
			r.oneRoutes()
		} else {
			r.listRoutes()
		}
	}
}

// recordsOf are the routes of one kind.
type recordsOf struct {
	*API
	kind record.Kind
}

// segment is the kind in a path.
func (r recordsOf) segment() string { return strings.ReplaceAll(r.kind.Name, "_", "-") }

// words is the kind for people.
func (r recordsOf) words() string { return strings.ReplaceAll(r.kind.Name, "_", " ") }

func (r recordsOf) route(method, path, act, summary string, scope service.Scopes, form answerForm) route {
	return route{method: method, path: Base + "/" + r.segment() + path, id: act + "-" + r.segment(),
		tag: r.words(), summary: summary, scope: scope, returns: form}
}

func (r recordsOf) listRoutes() {
	page := answerForm{status: 200, schema: r.schemas.Wire(reflect.TypeFor[recordPage]())}
	record := answerForm{status: 200, schema: r.schema(), cached: true}
	words := r.words()
	add(r.API, r.route(http.MethodGet, "", "list", "List the "+words, service.Read, page), r.list)
	add(r.API, r.route(http.MethodGet, "/{id}", "get", "One of the "+words, service.Read, record),
		func(ctx context.Context, c *call, in *oneRecord) (*reply, error) {
			return r.get(ctx, c, in.ID, in.Revision)
		})
	add(r.API, r.route(http.MethodGet, "/{id}/revisions", "history", "Its revisions, the newest first", service.Read, page),
		func(ctx context.Context, c *call, in *recordID) (*reply, error) { return r.revisions(ctx, c, in.ID) })
	add(r.API, r.putRoute("/{id}"), func(ctx context.Context, c *call, in *recordID) (*reply, error) { return r.put(ctx, c, in.ID) })
	add(r.API, r.removeRoute("/{id}", "one of the "+words), func(ctx context.Context, c *call, in *recordID) (*reply, error) { return r.remove(ctx, c, in.ID) })
}

// oneRoutes are those of a record there is only one of.
func (r recordsOf) oneRoutes() {
	record := answerForm{status: 200, schema: r.schema(), cached: true}
	page := answerForm{status: 200, schema: r.schemas.Wire(reflect.TypeFor[recordPage]())}
	add(r.API, r.route(http.MethodGet, "", "get", "The "+r.words()+" of the book", service.Read, record),
		func(ctx context.Context, c *call, in *revisionParam) (*reply, error) {
			return r.get(ctx, c, r.kind.Name, in.Revision)
		})
	add(r.API, r.route(http.MethodGet, "/revisions", "history", "Its revisions, the newest first", service.Read, page),
		func(ctx context.Context, c *call, _ *none) (*reply, error) { return r.revisions(ctx, c, r.kind.Name) })
	add(r.API, r.putRoute(""), func(ctx context.Context, c *call, _ *none) (*reply, error) { return r.put(ctx, c, r.kind.Name) })
	add(r.API, r.removeRoute("", "the "+r.words()), func(ctx context.Context, c *call, _ *none) (*reply, error) { return r.remove(ctx, c, r.kind.Name) })
}

// removeRoute answers with a body only where something still refers to the record.
func (r recordsOf) removeRoute(path, what string) route {
	rt := r.route(http.MethodDelete, path, "delete", "Take "+what+" out of the book; its revisions stay", service.Write,
		answerForm{status: 204, still: r.schemas.Wire(reflect.TypeFor[removedOut]())})
	rt.changes = true
	return rt
}

func (r recordsOf) putRoute(path string) route {
	rt := r.route(http.MethodPut, path, "put", "Make the next revision, or something new", service.Write,
		answerForm{status: 200, schema: r.schema(), created: true})
	rt.about = "The record is held against the whole book; faults elsewhere that it would cause are listed too. A reference to what is not there is named under lacking and stops nothing."
	rt.body = &body{schema: r.schemas.Read(r.kind.Type), types: jsonOrYAML, limit: r.edge.Config.BodyLimit}
	rt.changes, rt.creates = true, true
	return rt
}

// schema describes a record of the kind with its head.
func (r recordsOf) schema() *huma.Schema {
	head := r.schemas.Wire(reflect.TypeFor[service.RecordHead]())
	whole := r.schemas.Wire(reflect.TypeFor[unreadRecord]())
	fields := map[string]*huma.Schema{"record": r.schemas.Read(r.kind.Type)}
	fields["lacking"] = r.schemas.SchemaFromRef(r.schemas.Wire(reflect.TypeFor[removedOut]()).Ref).Properties["lacking"]
	for _, name := range []string{"text", "unread"} {
		fields[name] = r.schemas.SchemaFromRef(whole.Ref).Properties[name]
	}
	for name, s := range r.schemas.SchemaFromRef(head.Ref).Properties {
		fields[name] = s
	}
	return schema.Object(fields, "record", "name", "deleted", "text", "unread", "lacking")
}

func (r recordsOf) list(ctx context.Context, c *call, in *pageParams) (*reply, error) {
	after, size, err := r.page(r.kind.Name, *in)
	if err != nil {
		return nil, err
	}
	heads, next, err := r.service.Records(ctx, r.kind.Name, after, size)
	return c.answer(recordPage{Items: heads, Next: cursor(r.kind.Name, next)}, err)
}

func (r recordsOf) revisions(ctx context.Context, c *call, id string) (*reply, error) {
	heads, err := r.service.Revisions(ctx, r.kind.Name, id)
	return c.answer(recordPage{Items: heads}, err)
}

func (r recordsOf) get(ctx context.Context, c *call, id string, revision int) (*reply, error) {
	record, err := r.service.Record(ctx, r.kind.Name, id, revision)
	if err != nil {
		return nil, err
	}
	data, err := encode(recordWire(record))
	if err != nil {
		return nil, err
	}
	return c.tagged(edge.ETag(string(record.Version)), jsonType, data), nil
}

func (r recordsOf) put(ctx context.Context, c *call, id string) (*reply, error) {
	if err := c.checkSyntax(); err != nil {
		return nil, err
	}
	if edge.MustBeNew(c.r.Header) {
		record, err := r.service.PutRecord(ctx, c.actor, r.kind.Name, id, c.body, "")
		return r.stored(c, http.StatusCreated, record, alreadyThere(err))
	}
	version, err := c.version()
	if err != nil {
		return nil, err
	}
	record, err := r.service.PutRecord(ctx, c.actor, r.kind.Name, id, c.body, version)
	return r.stored(c, http.StatusOK, record, err)
}

func (r recordsOf) stored(c *call, status int, record service.Record, err error) (*reply, error) {
	if err != nil {
		return nil, err
	}
	c.w.Header().Set("ETag", edge.ETag(string(record.Version)))
	return c.ok(status, recordWire(record))
}

func (r recordsOf) remove(ctx context.Context, c *call, id string) (*reply, error) {
	version, err := c.version()
	if err != nil {
		return nil, err
	}
	lacking, err := r.service.DeleteRecord(ctx, c.actor, r.kind.Name, id, version)
	if err != nil {
		return nil, err
	}
	if len(lacking) == 0 {
		return nothing()
	}
	return c.ok(http.StatusOK, removedOut{warningsOut(lacking)})
}

// alreadyThere turns the refusal to create what exists into that of the condition
// If-None-Match: * (RFC 9110: 412).
func alreadyThere(err error) error {
	var known *answer.Error
	if errors.As(err, &known) && (known.Code == answer.VersionMissing || known.Code == answer.Exists) {
		return &edge.Refusal{Kind: edge.VersionConflict, Detail: "it exists already; read it and send If-Match to change it"}
	}
	return err
}

func recordWire(r service.Record) recordOut {
	out := recordOut{RecordHead: r.RecordHead}
	if len(r.JSON) > 0 {
		out.Record = r.JSON
	}
	if len(r.Unread) > 0 {
		out.Text = string(r.Text)
		out.Unread = warningsOut(r.Unread)
	}
	if len(r.Lacking) > 0 {
		out.Lacking = warningsOut(r.Lacking)
	}
	return out
}
