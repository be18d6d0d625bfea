package cost

import (
	"bytes"
	"cmp"
	"errors"
	"strings"

	"github.com/go-chi/chi/v5"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/edge"
	"kerfbook/costing/book/record"
	"kerfbook/costing/book/worktable"
	"kerfbook/costing/papers/table"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// tableBody is the page that takes in a table of operations and features.
type tableBody struct {
	Number, Name, Href string
	Text               frame.Field
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
func operationsCSV(c *frame.Call) error {
	number := chi.URLParam(c.R, "number")
	profile, err := csvProfile(c)
	if err != nil {
		return err
	}
	data, _, err := c.Site.Service.PartOperations(c.R.Context(), number, profile)
	if err != nil {
		return err
	}
	return c.Download(data, number+" operations.csv", "text/csv; charset=utf-8")
}

// csvProfile is how the person wants a CSV: as chosen beside the button, else as the
// spreadsheet of one who writes a comma or a point expects it.
func csvProfile(c *frame.Call) (table.Profile, error) {
	separator, decimal := c.R.Form.Get("separator"), c.R.Form.Get("decimal")
	if separator == "" && decimal == "" && c.Style.Comma {
		separator, decimal = ";", ","
	}
	p, err := table.Spreadsheet.Marked(separator, decimal)
	if err != nil {
		return p, &edge.Refusal{Kind: edge.BadRequest, Detail: err.Error()}
	}
	return p, nil
}

// csvFields ask how a CSV is wanted.
func csvFields(c *frame.Call) []frame.Field {
	separator, decimal := frame.Field{Name: "separator", Label: "Between fields"}, frame.Field{Name: "decimal", Label: "Decimal mark"}
	nowSeparator, nowDecimal := ",", "."
	if c.Style.Comma {
		nowSeparator, nowDecimal = ";", ","
	}
	separator.Offer([]frame.Option{{Value: ",", Label: "comma"}, {Value: ";", Label: "semicolon"}, {Value: "tab", Label: "tab"}}, nowSeparator)
	decimal.Offer([]frame.Option{{Value: ".", Label: "point"}, {Value: ",", Label: "comma"}}, nowDecimal)
	return []frame.Field{separator, decimal}
}

// exampleCSV sends a table to begin with.
func exampleCSV(c *frame.Call) error {
	return c.Download(bytes.ReplaceAll(worktable.Example, []byte("\n"), []byte("\r\n")), "operations example.csv", "text/csv; charset=utf-8")
}

func tableForm(c *frame.Call) error {
	return showTable(c, "", nil, change.OperationsImport{}, false)
}

func showTable(c *frame.Call, text string, found frame.Problems, done change.OperationsImport, checked bool) error {
	e, ok := record.Find(c.Book, "parts", chi.URLParam(c.R, "number"))
	if !ok {
		return &edge.Refusal{Kind: edge.NotFound, Detail: "the book has no part with this number"}
	}
	body := tableBody{Number: e.ID, Name: form.NameOf(e), Href: "/parts/" + e.ID, Version: string(done.Version), Checked: checked,
		Text: frame.Field{Name: "table", Label: "Or its text", Value: text, Rows: 12, Wide: true, Error: found.Of("table")}, Columns: tableColumns()}
	for _, p := range found {
		body.Faults = append(body.Faults, p.Message)
	}
	for _, g := range []tableGroup{{"added", "Added", done.Added}, {"changed", "Changed", done.Changed}, {"removed", "Taken away", done.Removed}} {
		if len(g.Rows) > 0 {
			body.Groups = append(body.Groups, g)
		}
	}
	body.Same = countOf(done.Same, "row")
	p := c.Page("parts", "Operations from CSV", &body)
	p.Problems = found
	return c.Show("partimport", p)
}

func tableColumns() []tableColumn {
	var out []tableColumn
	for _, col := range worktable.Columns() {
		var of []string
		for _, k := range col.Of {
			of = append(of, k.String())
		}
		out = append(out, tableColumn{col.Name, form.Words(col.Name), strings.Join(of, ", ")})
	}
	return out
}

// importTable shows what a table would do, or takes in one that was looked at.
func importTable(c *frame.Call) error {
	file, err := c.Upload(worktable.MaxBytes)
	if err != nil {
		return err
	}
	text := cmp.Or(string(file), c.Form("table"))
	number := chi.URLParam(c.R, "number")
	var done change.OperationsImport
	if c.Form("act") == "import" {
		_, err = c.Site.Service.ImportOperations(c.R.Context(), c.Actor, number, []byte(text), answer.Version(c.Form("version")))
	} else {
		done, err = c.Site.Service.PreviewOperations(c.R.Context(), number, []byte(text))
	}
	switch answer.CodeOf(err) {
	case answer.Invalid, answer.TooLarge:
		return showTable(c, text, tableFaults(err), change.OperationsImport{}, false)
	case answer.Conflict, answer.VersionMissing:
		var found frame.Problems
		found.Add("table", "Table: somebody else changed the part since you looked. Look again, then import it if that is still right")
		return showTable(c, text, found, change.OperationsImport{}, false)
	}
	if err != nil {
		return err
	}
	if c.Form("act") == "import" {
		return c.LeadTo("/parts/"+number, "saved")
	}
	return showTable(c, text, nil, done, true)
}

// tableFaults words what is wrong with a table, with line, cell and column.
func tableFaults(err error) frame.Problems {
	var known *answer.Error
	var found frame.Problems
	if !errors.As(err, &known) {
		return found
	}
	for _, f := range known.Fields {
		e := worktable.Error{Line: f.Line, Column: f.Column, Header: f.Path, Message: f.Message}
		if f.Line == 0 && f.Path != "" {
			e.Message = f.Path + ": " + f.Message
		}
		found.Add("table", e.Error())
	}
	if len(known.Fields) == 0 {
		found.Add("table", known.Message)
	}
	return found
}
