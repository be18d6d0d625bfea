package api

import (
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

// tableOut says what a table does to the book.
type tableOut struct {
	Version   string       `json:"version" doc:"Of the part or the book that the table is of: after the import, or as it is if nothing was written"`
	Written   bool         `json:"written"`
	Records   []tableEntry `json:"records" doc:"That it adds or changes"`
	Unchanged int          `json:"unchanged" doc:"Records that say what the table says already"`
	Lacking   []warning    `json:"lacking" doc:"What it leaves without what it refers to or needs; no figure that rests on this is given"`
}

// tableEntry is a record that a table adds or changes.
type tableEntry struct {
	Kind   string                   `json:"kind"`
	ID     string                   `json:"id"`
	Did    string                   `json:"did" enum:"added,changed"`
	Fields []change.FieldDifference `json:"fields" doc:"What differs"`
}

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
	read := answerForm{status: 200, files: []string{csvType}, cached: true}
	post := route{method: http.MethodPost, scope: service.Write, changes: true, previews: true,
		about:   "Faults name the line of the file, the cell of the row and, as their path, the column; nothing is written if there is one. A preview needs no If-Match.",
		body:    &body{schema: &huma.Schema{Type: huma.TypeString}, types: []string{csvType}, limit: rows.MaxBytes},
		returns: answerForm{status: 200, schema: a.schemas.Wire(reflect.TypeFor[tableOut]())}}
	add(a, route{method: http.MethodGet, path: operations, id: "get-part-operations", tag: "parts", scope: service.Read, returns: read,
		summary: "The operations of a part, with their features and characteristics, as a table"},
		func(_ context.Context, c *call, in *recordID) (*reply, error) {
			return a.table(c, change.OperationsOf(in.ID), table.Data)
		})
	add(a, route{method: http.MethodGet, path: tables, id: "get-table", tag: "records", scope: service.Read, returns: read,
		summary: "The records of a kind as a table in CSV, a row for each"},
		func(_ context.Context, c *call, in *tableQuery) (*reply, error) {
			of, err := change.TableNamed(in.Table)
			if err != nil {
				return nil, err
			}
			profile, err := table.Data.Marked(in.Separator, in.Decimal)
			if err != nil {
				return nil, &edge.Refusal{Kind: edge.BadRequest, Detail: err.Error()}
			}
			return a.table(c, of, profile)
		})
	ofPart, ofKind := post, post
	ofPart.path, ofPart.id, ofPart.tag, ofPart.summary = operations, "import-part-operations", "parts", "Take a table of operations and features into a part, or see what that would do"
	ofPart.about = "The table says what the routing is to be: rows it lacks are taken away, columns it lacks stay as they are. " + post.about
	add(a, ofPart, func(_ context.Context, c *call, in *operationsPost) (*reply, error) {
		return a.importTable(c, change.OperationsOf(in.ID), in.Preview)
	})
	ofKind.path, ofKind.id, ofKind.tag, ofKind.summary = tables, "import-table", "records", "Take a table of records in, or see what that would do"
	ofKind.about = "Columns are named as the fields of the book or as people call them, in any order. Records of the book that the table does not name stay, and so do columns it lacks; " +
		"a list in the rules is to be what its table says. " + post.about
	add(a, ofKind, func(_ context.Context, c *call, in *tablePost) (*reply, error) {
		of, err := change.TableNamed(in.Table)
		if err != nil {
			return nil, err
		}
		return a.importTable(c, of, in.Preview)
	})
}

func (a *API) table(c *call, of change.TableOf, profile table.Profile) (*reply, error) {
	data, version, err := a.service.Table(c.r.Context(), of, profile)
	if err != nil {
		return nil, err
	}
	return c.tagged(edge.ETag(string(version)+".csv"), csvType+"; charset=utf-8", data), nil
}

func (a *API) importTable(c *call, of change.TableOf, preview bool) (*reply, error) {
	if preview {
		done, err := a.service.PreviewTable(c.r.Context(), of, c.body)
		return c.answer(tableWire(done, false), err)
	}
	version, err := c.version()
	if err != nil {
		return nil, err
	}
	done, err := a.service.ImportTable(c.r.Context(), c.actor, of, c.body, version)
	if err == nil {
		c.w.Header().Set("ETag", edge.ETag(string(done.Version)))
	}
	return c.answer(tableWire(done, true), err)
}

func tableWire(done change.TableImport, written bool) tableOut {
	out := tableOut{Version: string(done.Version), Written: written, Records: []tableEntry{}, Unchanged: done.Same, Lacking: warningsOut(done.Lacking)}
	for _, r := range done.Records {
		out.Records = append(out.Records, tableEntry{r.Kind, r.ID, r.Did, r.Fields})
	}
	return out
}
