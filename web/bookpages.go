package web

import (
	"strings"

	"github.com/go-chi/chi/v5"

	"kerfbook/api/answer"
	"kerfbook/api/edge"
	"kerfbook/api/service"
	"kerfbook/costing/book"
	"kerfbook/costing/book/record"
)

// shelfBody lists the kinds of record.
type shelfBody struct {
	Empty bool
	Kinds []recordKind
}

// kindBody lists the records of a kind.
type kindBody struct {
	Kind recordKind
	Rows []headRow
	Next string // address of the next page
}

// headRow is a record of a list.
type headRow struct {
	ID, Name, Href string
	Revision       string
	ChangedAt, By  string
}

// recordBody shows one record.
type recordBody struct {
	Kind     recordKind
	ID, Name string
	Href     string
	Content  content
	PartHref string // of a part, its own page
	Head     headRow
	Missing  []answer.Gap // what it lacks for landed prices
	Lacking  []lack       // what it refers to or needs and is not there
	Text     string       // of a record that cannot be read
	Faults   []string     // why
}

// bookShelf lists what a book holds.
func bookShelf(c *call) error {
	return c.show("book", c.page("book", "The book", &shelfBody{Empty: c.version == "", Kinds: kinds}))
}

// kind gives the kind of record an address names.
func kindAsked(c *call) (recordKind, error) {
	k, ok := kindOf(chi.URLParam(c.r, "kind"))
	if !ok {
		return k, &edge.Refusal{Kind: edge.NotFound, Detail: "a book has no such list"}
	}
	return k, nil
}

// recordList lists the records of a kind.
func recordList(c *call) error {
	k, err := kindAsked(c)
	if err != nil {
		return err
	}
	heads, next, err := c.site.svc.Records(c.r.Context(), k.Kind, c.r.Form.Get("after"), c.site.edge.Config.MaxPageSize)
	if err != nil && answer.CodeOf(err) != answer.NotFound {
		return err
	}
	body := kindBody{Kind: k}
	for _, h := range heads {
		body.Rows = append(body.Rows, headOf(h))
	}
	if next != "" {
		body.Next = "/book/" + k.Kind + "?after=" + escape(next)
	}
	return c.show("kind", c.page("book", k.Name, &body))
}

func headOf(h service.RecordHead) headRow {
	return headRow{
		ID: h.ID, Name: h.Name, Href: recordHref(h.Kind, h.ID), Revision: digitsOf(h.Revision),
		ChangedAt: moment(h.ChangedAt), By: h.ChangedBy,
	}
}

// recordPage shows one record as it was entered.
func recordPage(c *call) error {
	if k, err := kindAsked(c); err == nil && c.book.Unread[k.Kind+" "+chi.URLParam(c.r, "id")] != "" {
		return unreadPage(c, k, chi.URLParam(c.r, "id"))
	}
	k, e, err := entryAsked(c)
	if err != nil {
		return err
	}
	sheet, link, err := c.whole()
	if err != nil {
		return err
	}
	record, err := c.site.svc.Record(c.r.Context(), k.Kind, e.ID, 0)
	if err != nil {
		return err
	}
	r := reader{sheet, link, e.Kind.Name, e.ID, e.Path}
	body := recordBody{Kind: k, ID: e.ID, Name: nameOf(e), Href: recordAddress(e), Content: r.record("", e.Value), Head: headOf(record.RecordHead),
		Missing: sheet.Gaps(e.Path)}
	body.Lacking = lackingOf(c.book, e)
	if k.Kind == "parts" {
		body.PartHref = "/parts/" + e.ID
	}
	return c.show("record", c.page("book", k.One+" "+e.ID, &body))
}

// lack is something that a record refers to or needs and that is not there.
type lack struct {
	Message string
	Href    string // where an offer for it is entered
}

func lackingOf(b *book.Book, of record.Record) []lack {
	var out []lack
	for _, p := range book.Check(b, nil, "") {
		at, ok := record.At(b, p.Path)
		if p.Severity != book.Gap || !ok || at.Kind.Name != of.Kind.Name || at.Path != of.Path {
			continue
		}
		l := lack{Message: p.Message}
		if rest := strings.TrimPrefix(p.Path, of.Path+"."); rest == "number" || rest == "id" { // of a part or stock without one
			l.Href = "/book/offers/new?for=" + escape(of.ID)
		} else if rest != p.Path {
			l.Message = rest + ": " + l.Message
		}
		out = append(out, l)
	}
	return out
}

// unreadPage shows a stored record that cannot be read as its text, with why.
func unreadPage(c *call, k recordKind, id string) error {
	record, err := c.site.svc.Record(c.r.Context(), k.Kind, id, 0)
	if err != nil {
		return err
	}
	body := recordBody{Kind: k, ID: id, Name: record.Name, Href: recordHref(k.Kind, id), Head: headOf(record.RecordHead), Text: string(record.Text)}
	for _, f := range record.Unread {
		body.Faults = append(body.Faults, f.Error())
	}
	return c.show("record", c.page("book", k.One+" "+id, &body))
}

// entry finds the record an address names.
func entryAsked(c *call) (recordKind, record.Record, error) {
	k, err := kindAsked(c)
	if err != nil {
		return k, record.Record{}, err
	}
	e, ok := record.Find(c.book, k.Kind, chi.URLParam(c.r, "id"))
	if !ok {
		return k, e, &edge.Refusal{Kind: edge.NotFound, Detail: "the book has no such record"}
	}
	return k, e, nil
}
