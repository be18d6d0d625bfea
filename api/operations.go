package api

import (
	"context"
	"net/http"
	"reflect"

	"github.com/danielgtaylor/huma/v2"

	"kerfbook/api/answer/change"
	"kerfbook/api/edge"
	"kerfbook/api/service"
	"kerfbook/costing/book/worktable"
	"kerfbook/costing/papers/table"
)

const csvType = "text/csv"

// operationsOut says what a table of operations and features does to a part.
type operationsOut struct {
	Part      string          `json:"part"`
	Version   string          `json:"version" doc:"Of the part: after the import, or as it is if nothing was written"`
	Written   bool            `json:"written"`
	Added     []operationsRow `json:"added"`
	Changed   []operationsRow `json:"changed"`
	Removed   []operationsRow `json:"removed"`
	Unchanged int             `json:"unchanged" doc:"Rows that say what the part says already"`
}

// operationsRow is an operation, a feature or a characteristic.
type operationsRow struct {
	Name   string           `json:"name"`
	Fields []operationsCell `json:"fields,omitempty"`
}

// operationsCell is a field before and after.
type operationsCell struct {
	Column string `json:"column"`
	Before string `json:"before,omitempty"`
	After  string `json:"after,omitempty"`
}

type operationsQuery struct {
	ID      string `path:"id" maxLength:"200" doc:"The number of the part"`
	Preview bool   `query:"preview" doc:"Say what would be added, changed and taken away, and write nothing"`
}

func (a *API) operationRoutes() {
	const path = Base + "/parts/{id}/operations"
	text := &huma.Schema{Type: huma.TypeString}
	add(a, route{method: http.MethodGet, path: path, id: "get-part-operations", tag: "parts", scope: service.Read,
		summary: "The operations of a part, with their features and characteristics, as a table",
		returns: answerForm{status: 200, files: []string{csvType}, cached: true}}, a.operations)
	add(a, route{method: http.MethodPost, path: path, id: "import-part-operations", tag: "parts", scope: service.Write,
		summary: "Take a table of operations and features into a part, or see what that would do",
		about: "The table says what the routing is to be: rows it lacks are taken away, columns it lacks stay as they are. " +
			"Faults name the line of the file, the cell of the row and, as their path, the column; nothing is written if there is one. " +
			"A preview needs no If-Match.",
		changes: true, previews: true,
		body:    &body{schema: text, types: []string{csvType}, limit: worktable.MaxBytes},
		returns: answerForm{status: 200, schema: a.schemas.Wire(reflect.TypeFor[operationsOut]())}}, a.importOperations)
}

func (a *API) operations(ctx context.Context, c *call, in *recordID) (*reply, error) {
	data, version, err := a.service.PartOperations(ctx, in.ID, table.Data)
	if err != nil {
		return nil, err
	}
	return c.tagged(edge.ETag(string(version)+".csv"), csvType+"; charset=utf-8", data), nil
}

func (a *API) importOperations(ctx context.Context, c *call, in *operationsQuery) (*reply, error) {
	if in.Preview {
		done, err := a.service.PreviewOperations(ctx, in.ID, c.body)
		if err != nil {
			return nil, err
		}
		return c.ok(http.StatusOK, operationsWire(done, false))
	}
	version, err := c.version()
	if err != nil {
		return nil, err
	}
	done, err := a.service.ImportOperations(ctx, c.actor, in.ID, c.body, version)
	if err != nil {
		return nil, err
	}
	c.w.Header().Set("ETag", edge.ETag(string(done.Version)))
	return c.ok(http.StatusOK, operationsWire(done, true))
}

func operationsWire(done change.OperationsImport, written bool) operationsOut {
	rows := func(list []worktable.Difference) []operationsRow {
		out := []operationsRow{}
		for _, d := range list {
			row := operationsRow{Name: d.Name}
			for _, f := range d.Fields {
				row.Fields = append(row.Fields, operationsCell{f.Column, f.Before, f.After})
			}
			out = append(out, row)
		}
		return out
	}
	return operationsOut{Part: done.Part, Version: string(done.Version), Written: written,
		Added: rows(done.Added), Changed: rows(done.Changed), Removed: rows(done.Removed), Unchanged: done.Same}
}
