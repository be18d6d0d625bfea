package api

import (
	"cmp"
	"context"
	"net/http"
	"reflect"

	"github.com/danielgtaylor/huma/v2"

	"kerfbook/api/answer/change"
	"kerfbook/api/edge"
	"kerfbook/api/service"
	"kerfbook/costing/book/rows"
	"kerfbook/costing/papers/table"
)

const csvType = "text/csv"

type tableQuery struct {
	Table     string `path:"table" maxLength:"200" doc:"The name of a list of the book, such as offers, or of one in its rules, such as rules.tariff"`
	Separator string `query:"separator" doc:"Between the cells: , ; or tab; a comma if absent"`
	Decimal   string `query:"decimal" doc:"The decimal mark: . or , (with ; or tab alone); a point if absent"`
}

type tablePost struct {
	Table   string `path:"table" maxLength:"200" doc:"The name of a list of the book, such as offers, or of one in its rules, such as rules.tariff"`
	Preview bool   `query:"preview" doc:"Say what would be added and changed, and write nothing"`
}

type operationsPost struct {
	ID      string `path:"id" maxLength:"200" doc:"The number of the part"`
	Preview bool   `query:"preview" doc:"Say what would change, and write nothing"`
}

func (a *API) tableRoutes() {
	const operations, tables = Base + "/parts/{id}/operations", Base + "/tables/{table}"
	read := route{method: http.MethodGet, scope: service.Read, returns: answerForm{status: 200, files: []string{csvType}, cached: true}}
	post := route{method: http.MethodPost, scope: service.Write, changes: true, previews: true,
		about:   "Faults name the line of the file, the cell of the row and, as their path, the column; nothing is written if there is one. A preview needs no If-Match.",
		body:    &body{schema: &huma.Schema{Type: huma.TypeString}, types: []string{csvType}, limit: rows.MaxBytes},
		returns: answerForm{status: 200, schema: a.schemas.Wire(reflect.TypeFor[change.TableImport]())}}
	add(a, read.of(operations, "get-part-operations", "parts", "The operations of a part, with their features and characteristics, as a table", ""),
		func(_ context.Context, c *call, in *recordID) (*reply, error) {
			return a.table(c, "", "")(change.OperationsOf(in.ID), nil)
		})
	add(a, read.of(tables, "get-table", "records", "The records of a kind as a table in CSV, a row for each", ""),
		func(_ context.Context, c *call, in *tableQuery) (*reply, error) {
			return a.table(c, in.Separator, in.Decimal)(change.TableNamed(in.Table))
		})
	add(a, post.of(operations, "import-part-operations", "parts", "Take a table of operations and features into a part, or see what that would do",
		"The table says what the routing is to be: rows it lacks are taken away, columns it lacks stay as they are. "),
		func(_ context.Context, c *call, in *operationsPost) (*reply, error) {
			return a.importTable(c, in.Preview)(change.OperationsOf(in.ID), nil)
		})
	add(a, post.of(tables, "import-table", "records", "Take a table of records in, or see what that would do",
		"Columns are named as the fields of the book or as people call them, in any order. Records of the book that the table does not name stay, and so do columns it lacks; a list in the rules is to be what its table says. "),
		func(_ context.Context, c *call, in *tablePost) (*reply, error) {
			return a.importTable(c, in.Preview)(change.TableNamed(in.Table))
		})
}

// of gives the route of a table at a path.
func (rt route) of(path, id, tag, summary, about string) route {
	rt.path, rt.id, rt.tag, rt.summary, rt.about = path, id, tag, summary, about+rt.about
	return rt
}

// table answers with the table that is asked for, if there is one.
func (a *API) table(c *call, separator, decimal string) func(change.TableOf, error) (*reply, error) {
	return func(of change.TableOf, err error) (*reply, error) {
		profile, wrong := table.Data.Marked(separator, decimal)
		if wrong != nil {
			return nil, &edge.Refusal{Kind: edge.BadRequest, Detail: wrong.Error()}
		}
		if err != nil {
			return nil, err
		}
		data, version, err := a.service.Table(c.r.Context(), of, profile)
		if err != nil {
			return nil, err
		}
		return c.tagged(edge.ETag(string(version)+".csv"), csvType+"; charset=utf-8", data), nil
	}
}

func (a *API) importTable(c *call, preview bool) func(change.TableOf, error) (*reply, error) {
	return func(of change.TableOf, err error) (*reply, error) {
		var done change.TableImport
		if err == nil && preview {
			done, err = a.service.PreviewTable(c.r.Context(), of, c.body)
			return c.answer(done, err)
		}
		version, missing := c.version()
		if err = cmp.Or(err, missing); err == nil {
			done, err = a.service.ImportTable(c.r.Context(), c.actor, of, c.body, version)
		}
		if err == nil {
			c.w.Header().Set("ETag", edge.ETag(string(done.Version)))
		}
		return c.answer(done, err)
	}
}
