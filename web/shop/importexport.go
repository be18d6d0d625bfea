package shop

import (
	"cmp"
	"errors"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/costing/book"
	"kerfbook/costing/book/check"
	"kerfbook/costing/book/field"
	"kerfbook/costing/text"
	"kerfbook/testdata"
	"kerfbook/web/frame"
)

// importBody is the page that takes in a book.
type importBody struct {
	Empty    bool // nothing is stored yet
	Text     frame.Field
	Version  string
	Checked  bool
	Windows  bool // its lines end as Windows ends them
	Name     string
	Warnings []string
	Lacking  bool // records refer to what is not there
	Faults   []string
}

// exportBook sends the book as text.
func exportBook(c *frame.Call) error {
	written, _, err := c.Site.Service.ExportBook(c.R.Context())
	if err != nil {
		return err
	}
	return c.Download(written, "book.yaml", "application/yaml; charset=utf-8")
}

// importForm shows where a book can come from.
func importForm(c *frame.Call) error { return showImport(c, "", nil, false) }

func showImport(c *frame.Call, written string, found frame.Problems, checked bool) error {
	body := importBody{Empty: c.Version == "", Version: string(c.Version), Checked: checked, Text: frame.Field{
		Name: "book", Label: "Or its text", Value: written, Rows: 14, Wide: true, Error: found.Of("book"),
	}}
	for _, p := range found {
		body.Faults = append(body.Faults, p.Message)
	}
	if checked {
		body.fill(written, c)
		body.Windows = strings.Contains(written, "\r\n")
	}
	p := c.Page("book", "Import a book", &body)
	p.Problems = found
	return c.Show("import", p)
}

// fill says what a book that was checked is, and what is worth a look.
func (b *importBody) fill(written string, c *frame.Call) {
	parsed, places, err := book.Parse([]byte(written), field.Hints{})
	if err != nil {
		return
	}
	b.Name = parsed.Name
	for _, p := range check.Book(parsed, places, parsed.TimeZone.Day(c.Site.Edge.Config.Now())) {
		b.Warnings = append(b.Warnings, p.Error())
		b.Lacking = b.Lacking || p.Severity == check.Gap
	}
}

// importBook checks a book, or takes in one that was checked.
func importBook(c *frame.Call) error {
	written, err := bookText(c)
	if err != nil {
		return err
	}
	if c.Form("act") != "import" {
		found := checked(written)
		return showImport(c, written, found, found.Empty())
	}
	_, err = c.Site.Service.ImportBook(c.R.Context(), c.Actor, []byte(written), answer.Version(c.Form("version")))
	switch answer.CodeOf(err) {
	case answer.Invalid, answer.TooLarge:
		return showImport(c, written, frame.FaultsOf(err, "book", ""), false)
	case answer.Conflict, answer.VersionMissing, answer.Exists:
		var found frame.Problems
		found.Add("book", "Book: it was changed by somebody else since you checked yours. Check again, then replace it if that is still right")
		return showImport(c, written, found, false)
	}
	if err != nil {
		return err
	}
	return c.LeadTo("/", "imported")
}

// bookText takes the text from the file, the text area or the example.
func bookText(c *frame.Call) (string, error) {
	if c.Form("act") == "example" {
		return string(testdata.Demo), nil
	}
	file, err := c.Upload(c.Site.Edge.Config.BookLimit)
	written := c.Form("book")
	if c.Form("ends") != "windows" { // a browser sends every text so
		written = strings.ReplaceAll(written, "\r\n", "\n")
	}
	return cmp.Or(string(file), written), err
}

// checked lists what is wrong with a book; nothing is written.
func checked(written string) frame.Problems {
	var found frame.Problems
	if strings.TrimSpace(written) == "" {
		found.Add("book", "Book: choose a file or enter its text")
		return found
	}
	b, places, err := book.Parse([]byte(written), field.Hints{})
	var wrong *text.Errors
	if errors.As(err, &wrong) {
		for _, one := range wrong.List {
			found.Add("book", one.Error())
		}
		return found
	}
	if err != nil {
		found.Add("book", "Book: "+err.Error())
		return found
	}
	for _, p := range check.Book(b, places, "") {
		if p.Severity == check.Fault {
			found.Add("book", p.Error())
		}
	}
	return found
}
