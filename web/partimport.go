package web

import (
	"bytes"
	"errors"
	"io"
	"net/http"
	"strings"

	"github.com/go-chi/chi/v5"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/edge"
	"kerfbook/costing/book/record"
	"kerfbook/costing/book/worktable"
	"kerfbook/costing/papers/table"
)

// tableBody is the page that takes in a table of operations and features.
type tableBody struct {
	Number, Name, Href string
	Text               field
	Version            string // of the part
	Checked            bool
	Groups             []tableGroup
	Same               string
	Faults             []string
	Columns            []tableColumn
}

// tableGroup are rows that are added, changed or taken away.
type tableGroup struct {
	ID, Title string
	Rows      []worktable.Difference
}

// tableColumn is a column that a table may have.
type tableColumn struct{ Name, Meaning, Of string }

// operationsCSV sends the operations and features of a part as a table that a
// spreadsheet opens safely.
func operationsCSV(c *call) error {
	number := chi.URLParam(c.r, "number")
	data, _, err := c.site.svc.PartOperations(c.r.Context(), number, table.Spreadsheet)
	if err != nil {
		return err
	}
	return c.download(data, number+" operations.csv", "text/csv; charset=utf-8")
}

// exampleCSV sends a table to begin with.
func exampleCSV(c *call) error {
	return c.download(bytes.ReplaceAll(worktable.Example, []byte("\n"), []byte("\r\n")), "operations example.csv", "text/csv; charset=utf-8")
}

func tableForm(c *call) error {
	return showTable(c, "", nil, change.OperationsImport{}, false)
}

func showTable(c *call, text string, found problems, done change.OperationsImport, checked bool) error {
	e, ok := record.Find(c.book, "parts", chi.URLParam(c.r, "number"))
	if !ok {
		return &edge.Refusal{Kind: edge.NotFound, Detail: "the book has no part with this number"}
	}
	body := tableBody{Number: e.ID, Name: nameOf(e), Href: "/parts/" + e.ID, Version: string(done.Version), Checked: checked,
		Text: field{Name: "table", Label: "Or its text", Value: text, Rows: 12, Wide: true, Error: found.of("table")}, Columns: tableColumns()}
	for _, p := range found {
		body.Faults = append(body.Faults, p.Message)
	}
	for _, g := range []tableGroup{{"added", "Added", done.Added}, {"changed", "Changed", done.Changed}, {"removed", "Taken away", done.Removed}} {
		if len(g.Rows) > 0 {
			body.Groups = append(body.Groups, g)
		}
	}
	body.Same = countOf(done.Same, "row")
	p := c.page("parts", "Operations from CSV", &body)
	p.Problems = found
	return c.show("partimport", p)
}

func tableColumns() []tableColumn {
	var out []tableColumn
	for _, col := range worktable.Columns() {
		var of []string
		for _, k := range col.Of {
			of = append(of, k.String())
		}
		out = append(out, tableColumn{col.Name, words(col.Name), strings.Join(of, ", ")})
	}
	return out
}

// importTable shows what a table would do, or takes in one that was looked at.
func importTable(c *call) error {
	text, err := tableText(c)
	if err != nil {
		return err
	}
	number := chi.URLParam(c.r, "number")
	var done change.OperationsImport
	if c.form("act") == "import" {
		_, err = c.site.svc.ImportOperations(c.r.Context(), c.actor, number, []byte(text), answer.Version(c.form("version")))
	} else {
		done, err = c.site.svc.PreviewOperations(c.r.Context(), number, []byte(text))
	}
	switch answer.CodeOf(err) {
	case answer.Invalid, answer.TooLarge:
		return showTable(c, text, tableFaults(err), change.OperationsImport{}, false)
	case answer.Conflict, answer.VersionMissing:
		var found problems
		found.add("table", "Table: somebody else changed the part since you looked. Look again, then import it if that is still right")
		return showTable(c, text, found, change.OperationsImport{}, false)
	}
	if err != nil {
		return err
	}
	if c.form("act") == "import" {
		return c.leadTo("/parts/"+number, "saved")
	}
	return showTable(c, text, nil, done, true)
}

// tableFaults words what is wrong with a table, with line, cell and column.
func tableFaults(err error) problems {
	var known *answer.Error
	var found problems
	if !errors.As(err, &known) {
		return found
	}
	for _, f := range known.Fields {
		e := worktable.Error{Line: f.Line, Column: f.Column, Header: f.Path, Message: f.Message}
		if f.Line == 0 && f.Path != "" {
			e.Message = f.Path + ": " + f.Message
		}
		found.add("table", e.Error())
	}
	if len(known.Fields) == 0 {
		found.add("table", known.Message)
	}
	return found
}

// tableText takes the table from the file or the text area.
func tableText(c *call) (string, error) {
	file, _, err := c.r.FormFile("file")
	if errors.Is(err, http.ErrMissingFile) || errors.Is(err, http.ErrNotMultipart) {
		return c.r.PostFormValue("table"), nil
	}
	if err != nil {
		return "", &edge.Refusal{Kind: edge.BadRequest, Detail: "the file cannot be read"}
	}
	defer file.Close()
	data, err := io.ReadAll(io.LimitReader(file, worktable.MaxBytes+1))
	if err != nil {
		return "", &edge.Refusal{Kind: edge.BadRequest, Detail: "the file ended before it was complete"}
	}
	if len(data) == 0 {
		return c.r.PostFormValue("table"), nil
	}
	return string(data), nil
}
