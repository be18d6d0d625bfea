package shop

import (
	"net/url"
	"strings"

	"github.com/go-chi/chi/v5"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/edge"
	"kerfbook/api/service"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/check"
	"kerfbook/costing/book/field"
	"kerfbook/costing/book/record"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// shelfBody lists the kinds of record.
type shelfBody struct {
	Empty bool
	Kinds []form.RecordKind
}

// kindBody lists the records of a kind.
type kindBody struct {
	Kind  form.RecordKind
	Rows  []headRow
	Next  string // address of the next page
	Taken bool   // some came with the program and wait to be confirmed
}

// headRow is a record of a list.
type headRow struct {
	ID, Name, Href string
	Revision       string
	ChangedAt, By  string
	Taken          bool
}

// recordBody shows one record.
type recordBody struct {
	Kind     form.RecordKind
	ID, Name string
	Href     string
	Content  form.Content
	PartHref string // of a part, its own page
	BandHref string // of a part that is guessed at
	Head     headRow
	Missing  []answer.Gap    // what it lacks for landed prices
	Lacking  []lack          // what it refers to or needs and is not there
	Text     string          // of a record that cannot be read
	Faults   []string        // why
	Hour     *frame.WageHour // of a wage
}

// bookShelf lists what a book holds.
func bookShelf(c *frame.Call) error {
	return c.Show("book", c.Page("book", "The book", &shelfBody{Empty: c.Version == "", Kinds: form.Kinds()}))
}

func noSuchPage(detail string) error { return &edge.Refusal{Kind: edge.NotFound, Detail: detail} }

// kind gives the kind of record an address names.
func kindAsked(c *frame.Call) (form.RecordKind, error) {
	k, ok := form.KindOf(chi.URLParam(c.R, "kind"))
	if !ok {
		return k, noSuchPage("a book has no such list")
	}
	return k, nil
}

// recordsShown is how many records stand on a page of a list.
const recordsShown = 40

// recordList lists the records of a kind.
func recordList(c *frame.Call) error {
	k, err := kindAsked(c)
	if err != nil {
		return err
	}
	heads, next, err := c.Site.Service.Records(c.R.Context(), k.Kind, c.R.Form.Get("after"), recordsShown)
	if err != nil && answer.CodeOf(err) != answer.NotFound {
		return err
	}
	body := kindBody{Kind: k}
	kind, _ := record.KindOf(k.Kind) // that of a page is known
	find := record.Finder(c.Book, kind)
	for _, h := range heads {
		row := headOf(h)
		if r, known := find(h.ID); known {
			row.Name, row.Taken = form.NameOf(r), change.Unconfirmed(r.Value)
		}
		body.Rows, body.Taken = append(body.Rows, row), body.Taken || row.Taken
	}
	if next != "" {
		body.Next = "/book/" + k.Kind + "?after=" + url.QueryEscape(next)
	}
	return c.Show("kind", c.Page("book", k.Name, &body))
}

func headOf(h service.RecordHead) headRow {
	return headRow{
		ID: h.ID, Name: h.Name, Href: frame.RecordHref(h.Kind, h.ID), Revision: frame.Digits(h.Revision),
		ChangedAt: frame.Moment(h.ChangedAt), By: h.ChangedBy,
	}
}

// recordPage shows one record as it was entered.
func recordPage(c *frame.Call) error {
	if k, err := kindAsked(c); err == nil && c.Book.Unread[k.Kind+" "+chi.URLParam(c.R, "id")] != "" {
		return unreadPage(c, k, chi.URLParam(c.R, "id"))
	}
	k, e, err := entryAsked(c)
	if err != nil {
		return err
	}
	sheet, link, err := c.Whole()
	if err != nil {
		return err
	}
	stored, err := c.Site.Service.Record(c.R.Context(), k.Kind, e.ID, 0)
	if err != nil {
		return err
	}
	r := form.Reader{Sheet: sheet, Link: link, Kind: e.Kind.Name, Id: e.ID, Root: e.Path}
	body := recordBody{Kind: k, ID: e.ID, Name: form.NameOf(e), Href: form.RecordAddress(e), Content: r.Record("", e.Value), Head: headOf(stored.RecordHead),
		Missing: sheet.Gaps(e.Path)}
	body.Head.Taken = change.Unconfirmed(e.Value)
	if body.Hour, err = frame.HourOf(c, e.Value.Interface()); err != nil {
		return err
	}
	body.Lacking = lackingOf(c.Book, e)
	if k.Kind == "parts" {
		body.PartHref = "/parts/" + e.ID
		if p, _ := c.Book.Part(bom.ID(e.ID)); p != nil && p.FirstGuess != nil {
			body.BandHref = body.PartHref + "/first"
			if pieces := c.R.Form.Get("pieces"); pieces != "" {
				body.BandHref += "?" + url.Values{"pieces": {pieces}}.Encode()
			}
		}
	}
	return c.Show("record", c.Page("book", k.One+" "+e.ID, &body))
}

// lack is something that a record refers to or needs and that is not there.
type lack struct {
	Message string
	Href    string // where an offer for it is entered
}

func lackingOf(b *book.Book, of record.Record) []lack {
	var out []lack
	for _, p := range check.Book(b, nil, "") {
		at, ok := record.At(b, p.Path)
		if p.Severity != check.Gap || !ok || at.Kind.Name != of.Kind.Name || at.Path != of.Path {
			continue
		}
		l := lack{Message: p.Message}
		if rest := strings.TrimPrefix(p.Path, of.Path+"."); rest == "number" || rest == "id" { // of a part or stock without one
			l.Href = "/book/offers/new?for=" + url.QueryEscape(of.ID)
		} else if e, known := field.Under(of.Kind.Name, rest); known {
			l.Message = e.Label + ": " + l.Message
		}
		l.Message = field.Spoken(l.Message)
		out = append(out, l)
	}
	return out
}

// unreadPage shows a stored record that cannot be read as its text, with why.
func unreadPage(c *frame.Call, k form.RecordKind, id string) error {
	record, err := c.Site.Service.Record(c.R.Context(), k.Kind, id, 0)
	if err != nil {
		return err
	}
	body := recordBody{Kind: k, ID: id, Name: record.Name, Href: frame.RecordHref(k.Kind, id), Head: headOf(record.RecordHead), Text: string(record.Text)}
	for _, f := range record.Unread {
		body.Faults = append(body.Faults, f.Error())
	}
	return c.Show("record", c.Page("book", k.One+" "+id, &body))
}

// entry finds the record an address names.
func entryAsked(c *frame.Call) (form.RecordKind, record.Record, error) {
	k, err := kindAsked(c)
	if err != nil {
		return k, record.Record{}, err
	}
	e, ok := record.Find(c.Book, k.Kind, chi.URLParam(c.R, "id"))
	if !ok {
		return k, e, noSuchPage("the book has no such record")
	}
	return k, e, nil
}
