package api

import (
	"context"
	"net/http"
	"reflect"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/api/edge"
	"kerfbook/api/service"
	"kerfbook/costing/book"
	"kerfbook/costing/book/record"
)

// importAnswer says what an import did.
type importAnswer struct {
	Version   string    `json:"version"`
	Created   int       `json:"created"`
	Changed   int       `json:"changed"`
	Deleted   int       `json:"deleted"`
	Unchanged int       `json:"unchanged"`
	Warnings  []warning `json:"warnings"`
}

// warning is a remark about a book whose figures are right all the same.
type warning struct {
	Path    string `json:"path,omitempty"`
	Line    int    `json:"line,omitempty"`
	Column  int    `json:"column,omitempty"`
	Message string `json:"message"`
}

func (a *API) bookRoutes() {
	schema := a.schemas.Read(reflect.TypeFor[book.Book]())
	add(a, route{method: http.MethodGet, path: Base + "/book", id: "export-book", tag: "book", scope: service.Read,
		summary: "The whole book: as text, or as JSON if Accept asks for it",
		returns: answerForm{status: 200, schema: schema, files: []string{yamlType}, cached: true}}, a.exportBook)
	add(a, route{method: http.MethodPut, path: Base + "/book", id: "import-book", tag: "book", scope: service.Write,
		summary: "Replace the whole book; records that are the same keep their revision",
		changes: true, creates: true, once: true,
		body:    &body{schema: schema, types: jsonOrYAML, limit: a.edge.Config.BookLimit},
		returns: answerForm{status: 200, schema: a.schemas.Wire(reflect.TypeFor[importAnswer]())}}, a.importBook)
}

// jsonMark tells the entity tag of the JSON form from that of the text: they are
// two representations of one version.
const jsonMark = ".json"

func (a *API) exportBook(ctx context.Context, c *call, _ *none) (*reply, error) {
	c.w.Header().Set("Vary", "Accept")
	if !wantsJSON(c.r.Header.Get("Accept")) {
		text, version, err := a.service.ExportBook(ctx)
		if err != nil {
			return nil, err
		}
		return c.tagged(edge.ETag(string(version)), yamlType, text), nil
	}
	b, version, err := a.service.Book(ctx)
	if err != nil {
		return nil, err
	}
	if len(b.Unread) > 0 {
		return nil, &answer.Error{Code: answer.Invalid, Message: "stored records that cannot be read are left out, which JSON has no place to say; take the book as text, which names them"}
	}
	return c.tagged(edge.ETag(string(version)+jsonMark), jsonType, append(record.JSON(reflect.ValueOf(*b)), '\n')), nil
}

// wantsJSON reads the header Accept: text unless JSON is named and YAML is not.
func wantsJSON(accept string) bool {
	return strings.Contains(accept, "json") && !strings.Contains(accept, "yaml")
}

func (a *API) importBook(ctx context.Context, c *call, _ *none) (*reply, error) {
	version := answer.Version("")
	if !edge.MustBeNew(c.r.Header) {
		var err error
		if version, err = c.version(); err != nil {
			return nil, err
		}
		version = answer.Version(strings.TrimSuffix(string(version), jsonMark))
	}
	if err := c.checkSyntax(); err != nil {
		return nil, err
	}
	return a.once(ctx, c, func(tx service.Tx) (int, any, error) {
		done, err := a.service.ImportBookIn(ctx, tx, c.actor, c.body, version)
		if version == "" {
			err = alreadyThere(err)
		}
		return http.StatusOK, importAnswer{Version: string(done.Version), Created: done.Created, Changed: done.Changed, Deleted: done.Deleted,
			Unchanged: done.Unchanged, Warnings: warningsOut(done.Warnings)}, err
	})
}
func warningsOut(list []answer.FieldError) []warning {
	out := make([]warning, len(list))
	for i, w := range list {
		out[i] = warning{w.Path, w.Line, w.Column, w.Message}
	}
	return out
}
