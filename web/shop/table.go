package shop

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"slices"

	"github.com/go-chi/chi/v5"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/service"
	"kerfbook/bom"
	"kerfbook/costing/book/field"
	"kerfbook/costing/book/rows"
	"kerfbook/costing/text"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// tableBody is the page of a table: written for a spreadsheet, and taken in.
type tableBody struct {
	Name       string // of what its rows are
	Up         []frame.Link
	Href, CSV  string // of the page, of the file
	Part, List bool
	Marks      []frame.Field
	Text       frame.Field
	Version    string
	Checked    bool
	Records    []changedRecord
	Rest       []changedRecord // folded
	Counts     string
	Lacking    []string
	Faults     []string
	Columns    []rows.Column
	Lists      []frame.Link // tables of lists in the record
	of         change.TableOf
	file, back string
}

// tableAsked is the page of the table that an address names.
func tableAsked(c *frame.Call) (tableBody, error) {
	if number := chi.URLParam(c.R, "number"); number != "" {
		p, _ := c.Book.Part(bom.ID(number))
		if p == nil {
			return tableBody{}, noSuchPage("the book has no part with this number")
		}
		href := "/parts/" + number
		return tableBody{Name: "Operations of " + p.Name, Up: []frame.Link{{Label: "Parts", Href: "/parts"}, {Label: number, Href: href}},
			Href: href + "/import", CSV: href + "/operations.csv", Part: true, of: change.OperationsOf(number), file: number + " operations.csv", back: href}, nil
	}
	name := chi.URLParam(c.R, "kind")
	of, err := change.TableNamed(name)
	if err != nil {
		return tableBody{}, noSuchPage("a book has no such list")
	}
	k, _ := form.KindOf(of.Kind.Name)
	b := tableBody{Name: k.Name, Up: []frame.Link{{Label: "The book", Href: "/book"}, {Label: k.Name, Href: "/book/" + k.Kind}},
		Href: "/book/" + name + "/table", CSV: "/book/" + name + "/table.csv", of: of, file: name + ".csv", back: "/book/" + k.Kind}
	if of.List != "" {
		b.Name, b.List = b.Name+": "+form.Label(k.Kind, of.List), true
	} else if of.Kind.Only {
		for _, e := range rows.Lists(of.Kind) {
			b.Lists = append(b.Lists, frame.Link{Label: e.Label, Href: "/book/" + k.Kind + "." + e.Name + "/table"})
		}
	}
	return b, nil
}

// tableCSV sends a table that a spreadsheet opens safely.
func tableCSV(c *frame.Call) error {
	b, err := tableAsked(c)
	if err != nil {
		return err
	}
	profile, err := c.CSVProfile()
	if err != nil {
		return err
	}
	data, _, err := c.Site.Service.Table(c.R.Context(), b.of, profile)
	if err != nil {
		return err
	}
	return c.Download(data, b.file, frame.CSVType)
}

// exampleCSV sends a table of operations to begin with.
func exampleCSV(c *frame.Call) error {
	return c.Download(bytes.ReplaceAll(rows.Example, []byte("\n"), []byte("\r\n")), "operations example.csv", frame.CSVType)
}

func tableForm(c *frame.Call) error {
	b, err := tableAsked(c)
	if err != nil {
		return err
	}
	return b.show(c, "", nil)
}

func (b tableBody) show(c *frame.Call, written string, found frame.Problems) error {
	b.Text = frame.Field{Name: "table", Label: "Or its text, as copied from a spreadsheet", Value: written, Rows: 8, Wide: true, Error: found.Of("table")}
	b.Marks = c.CSVFields()
	for _, p := range found {
		b.Faults = append(b.Faults, p.Message)
	}
	b.Columns = slices.DeleteFunc(b.of.Columns(), func(col rows.Column) bool { return col.About == "" || col.Shape == text.ShapeRecord })
	p := c.Page(map[bool]string{true: "parts", false: "book"}[b.Part], b.Name+" as a table", &b)
	p.Problems = found
	return c.Show("table", p)
}

// takeTable shows what a table would do, or takes in one that was looked at.
func takeTable(c *frame.Call) error {
	b, err := tableAsked(c)
	if err != nil {
		return err
	}
	file, err := c.Upload(rows.MaxBytes)
	if err != nil {
		return err
	}
	written := cmp.Or(string(file), c.Form("table"))
	var done change.TableImport
	if c.Form("act") == "import" {
		_, err = c.Site.Service.ImportTable(c.R.Context(), c.Actor, b.of, []byte(written), answer.Version(c.Form("version")))
	} else {
		done, err = c.Site.Service.PreviewTable(c.R.Context(), b.of, []byte(written))
	}
	switch answer.CodeOf(err) {
	case answer.Invalid, answer.TooLarge:
		return b.show(c, written, tableFaults(err))
	case answer.Conflict, answer.VersionMissing:
		var found frame.Problems
		found.Add("table", "Table: somebody else changed the book since you looked. Look again, then save it if that is still right")
		return b.show(c, written, found)
	}
	if err != nil {
		return err
	}
	if c.Form("act") == "import" {
		return c.LeadTo(b.back, "tabled")
	}
	b.fill(done)
	return b.show(c, written, nil)
}

// fill says what a table would do.
func (b *tableBody) fill(done change.TableImport) {
	b.Version, b.Checked = string(done.Version), true
	count := map[string]int{}
	for _, r := range done.Records {
		count[r.Did]++
		one := recordOf(service.RecordChange{Kind: r.Kind, ID: r.ID, Did: r.Did, Fields: r.Fields}, fieldsShown)
		if one.Record.Href = ""; r.Did == "changed" {
			one.Record.Href = frame.RecordHref(r.Kind, r.ID)
		}
		b.Records = append(b.Records, one.folded())
	}
	open := min(len(b.Records), recordsOpen)
	b.Records, b.Rest = b.Records[:open], b.Records[open:]
	b.Counts = fmt.Sprintf("%d added, %d changed, %d as before", count["added"], count["changed"], done.Same)
	for _, f := range done.Lacking {
		f.Message = field.Spoken(f.Message)
		b.Lacking = append(b.Lacking, inTable(f))
	}
}

// tableFaults words what is wrong with a table, with line, cell and column.
func tableFaults(err error) frame.Problems {
	var known *answer.Error
	var found frame.Problems
	if !errors.As(err, &known) {
		return found
	}
	for _, f := range known.Fields {
		found.Add("table", inTable(f))
	}
	if len(known.Fields) == 0 {
		found.Add("table", known.Message)
	}
	return found
}

func inTable(f answer.FieldError) string {
	if f.Line == 0 && f.Path != "" {
		f.Message = f.Path + ": " + f.Message
	}
	return rows.Error{Line: f.Line, Column: f.Column, Header: f.Path, Message: f.Message}.Error()
}
