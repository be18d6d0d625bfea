package web

import (
	"errors"
	"strconv"
	"strings"

	"github.com/go-chi/chi/v5"

	"kerfbook/api/answer"
	"kerfbook/api/edge"
	"kerfbook/bom"
	"kerfbook/costing/book/record"
	"kerfbook/costing/text"
)

// editBody edits a record as text.
type editBody struct {
	Kind    recordKind
	ID      string // empty for a new record
	Href    string
	Text    field
	Version string
	Faults  []string
	Stored  string // what is stored now, where somebody else changed it
	Revert  string
}

// editRecord opens a record as text.
func editRecord(c *call) error {
	k, err := kindAsked(c)
	if err != nil {
		return err
	}
	record, err := c.site.svc.Record(c.r.Context(), k.Kind, chi.URLParam(c.r, "id"), 0)
	if err != nil {
		return err
	}
	return showEdit(c, k, record.ID, string(record.Text), string(record.Version), nil, "")
}

// newRecord opens the text of a record that is to be.
func newRecord(c *call) error {
	k, err := kindAsked(c)
	if err != nil {
		return err
	}
	of, _ := record.KindOf(k.Kind) // the table names kinds of the book
	written := of.Skeleton()
	if key := c.r.Form.Get("figure"); k.Kind == "overrides" && key != "" {
		written = overrideOf(key, c.r.Form.Get("unit"), c.site.svc.Today())
	}
	return showEdit(c, k, "", written, "", nil, "")
}

func showEdit(c *call, k recordKind, id, written, version string, found problems, stored string) error {
	body := editBody{Kind: k, ID: id, Version: version, Stored: stored, Href: recordHref(k.Kind, id), Text: field{
		Name: "text", Label: "The record as text", Value: written, Rows: min(40, max(12, strings.Count(written, "\n")+3)), Wide: true,
		Hint: "One field a line; what is inside a record is set in by two blanks. A number may be a range: {low: 4, likely: 5, high: 7}.",
	}}
	title := "Edit " + k.One + " " + id
	if id == "" {
		title, body.Href = "New "+k.One, "/book/"+k.Kind
	}
	for _, p := range found {
		body.Faults = append(body.Faults, p.Message)
	}
	if len(found) > 0 {
		body.Text.Error = "see what is listed beside the text"
	}
	p := c.page("book", title, &body)
	p.Problems = found
	return c.show("edit", p)
}

// putRecord saves the text of a record.
func putRecord(c *call) error {
	k, err := kindAsked(c)
	if err != nil {
		return err
	}
	id, written, version := chi.URLParam(c.r, "id"), c.form("text"), c.form("version")
	if id == "" {
		var found problems
		if id, found = idOf(k.Kind, written); len(found) > 0 {
			return showEdit(c, k, "", written, "", found, "")
		}
	}
	record, err := c.site.svc.PutRecord(c.r.Context(), c.actor, k.Kind, id, []byte(written), answer.Version(version))
	if err == nil {
		return c.leadTo(recordHref(k.Kind, record.ID), "saved")
	}
	return editAgain(c, k, id, written, version, err)
}

// editAgain shows what is wrong with a text, and loses nothing of it.
func editAgain(c *call, k recordKind, id, written, version string, err error) error {
	shown := id
	if chi.URLParam(c.r, "id") == "" {
		shown = ""
	}
	code := answer.CodeOf(err)
	if shown == "" && (code == answer.Conflict || code == answer.VersionMissing) {
		code = answer.Exists
	}
	switch code {
	case answer.Invalid:
		return showEdit(c, k, shown, written, version, faultsOf(err, "text", ""), "")
	case answer.Exists:
		var found problems
		found.add("text", "the book has a "+k.One+" "+id+" already; edit that one, or choose another name")
		return showEdit(c, k, shown, written, version, found, "")
	case answer.Conflict, answer.VersionMissing:
		now, readErr := c.site.svc.Record(c.r.Context(), k.Kind, id, 0)
		if readErr != nil {
			return readErr
		}
		var found problems
		found.add("text", "somebody else saved this "+k.One+" in the meantime; their text stands below yours. Take over what you want to keep, then save again")
		return showEdit(c, k, id, written, string(now.Version), found, string(now.Text))
	}
	return err
}

// idOf reads which record a text is.
func idOf(kind, written string) (string, problems) {
	var found problems
	k, _ := record.KindOf(kind) // the address names one
	value, _, err := k.Read([]byte(written))
	var wrong *text.Errors
	if errors.As(err, &wrong) {
		for _, one := range wrong.List {
			found.add("text", one.Error())
		}
		return "", found
	}
	ids, _ := k.Identify(value)
	return ids[0], found
}

// overrideOf is the text of an override of a figure, to be filled in. What came in
// an address is written as a text of YAML, whatever it is.
func overrideOf(key, unit string, day bom.Date) string {
	written := "id: \nfigure: " + strconv.Quote(key) + "\nvalue: \n"
	if unit != "" {
		written += "unit: " + strconv.Quote(unit) + "\n"
	}
	return written + "reason: \nfrom: " + string(day) + "\n"
}

// removeRecord makes a revision that says that a record is no more.
func removeRecord(c *call) error {
	k, err := kindAsked(c)
	if err != nil {
		return err
	}
	id := chi.URLParam(c.r, "id")
	err = c.site.svc.DeleteRecord(c.r.Context(), c.actor, k.Kind, id, answer.Version(c.form("version")))
	if answer.CodeOf(err) == answer.Invalid {
		record, readErr := c.site.svc.Record(c.r.Context(), k.Kind, id, 0)
		if readErr != nil {
			return readErr
		}
		return showEdit(c, k, id, string(record.Text), string(record.Version), faultsOf(err, "text", "cannot be removed: "), "")
	}
	if err != nil {
		return err
	}
	return c.leadTo(recordHref(k.Kind, id)+"/revisions", "removed")
}

// revisionsBody lists the revisions of a record.
type revisionsBody struct {
	Kind    recordKind
	ID      string
	Href    string
	Version string
	Rows    []revisionRow
	Shown   string // text of the revision that is opened
	ShownNo string
}

// revisionRow is one revision.
type revisionRow struct {
	Revision, At, By, Href string
	Current, Deleted       bool
}

// revisions lists the revisions of a record, which can be opened and restored.
func revisions(c *call) error {
	k, err := kindAsked(c)
	if err != nil {
		return err
	}
	id := chi.URLParam(c.r, "id")
	heads, err := c.site.svc.Revisions(c.r.Context(), k.Kind, id)
	if err != nil {
		return err
	}
	body := revisionsBody{Kind: k, ID: id, Href: recordHref(k.Kind, id)}
	for i, h := range heads {
		if i == 0 {
			body.Version = string(h.Version)
		}
		body.Rows = append(body.Rows, revisionRow{digitsOf(h.Revision), moment(h.ChangedAt), h.ChangedBy,
			body.Href + "/revisions?show=" + digitsOf(h.Revision), i == 0, h.Deleted})
	}
	if n, err := strconv.Atoi(c.r.Form.Get("show")); err == nil && n > 0 {
		record, err := c.site.svc.Record(c.r.Context(), k.Kind, id, n)
		if err != nil {
			return err
		}
		body.Shown, body.ShownNo = string(record.Text), digitsOf(n)
	}
	return c.show("revisions", c.page("book", "Revisions of "+k.One+" "+id, &body))
}

// restore makes an old revision the next one.
func restore(c *call) error {
	k, err := kindAsked(c)
	if err != nil {
		return err
	}
	id := chi.URLParam(c.r, "id")
	n, err := strconv.Atoi(c.form("revision"))
	if err != nil || n < 1 {
		return &edge.Refusal{Kind: edge.BadRequest, Detail: "say which revision is to be restored"}
	}
	old, err := c.site.svc.Record(c.r.Context(), k.Kind, id, n)
	if err != nil {
		return err
	}
	version := answer.Version(c.form("version"))
	if old.Deleted {
		err = c.site.svc.DeleteRecord(c.r.Context(), c.actor, k.Kind, id, version)
	} else {
		_, err = c.site.svc.PutRecord(c.r.Context(), c.actor, k.Kind, id, old.Text, version)
	}
	if answer.CodeOf(err) == answer.Invalid {
		return showEdit(c, k, id, string(old.Text), string(version), faultsOf(err, "text", ""), "")
	}
	if err != nil {
		return err
	}
	return c.leadTo(recordHref(k.Kind, id), "restored")
}
