package costbook

import (
	"cmp"
	"io"

	"kerfbook/bom"
	"kerfbook/costing/graph/workbook"
	"kerfbook/costing/papers/xlsx"
)

// Meta describes a file to the person who opens it.
type Meta struct {
	Title   string // "Cost of mug, glow, 250 pieces"
	Subject string // one line below the title; "" for none
	Author  string // the shop
	Version string // of its book; "" for one without
	// Day is the day the figures are for. It also dates the file, so that the
	// same figures make the same file whenever they are written.
	Day      bom.Date
	Tables   []Table  // of the first page
	Cautions []string // of the page after it, one paragraph each
	// Share tells a number without unit that is read as per cent; nil for none.
	Share func(*workbook.Row) bool
}

// about says whose figures these are, in which version and of which day.
func (m *Meta) about() string {
	text := "figures of " + string(m.Day)
	if m.Version != "" {
		text = "book in version " + m.Version + ", " + text
	}
	if m.Author != "" {
		text = m.Author + ", " + text
	}
	return text
}

// Write writes a sheet model as an .xlsx file: a page of figures to print, a page on
// how to read the rest, then one sheet per sheet of the model. Formulas are live; only input cells can be
// edited, since the sheets are protected, without a password.
//
// The error is a [*xlsx.DayError], or what w or the library returned.
func Write(w io.Writer, m *workbook.Model, meta Meta) error {
	f, err := xlsx.New(xlsx.Properties{Title: meta.Title, Subject: meta.Subject, Author: meta.Author, Day: meta.Day, Foot: meta.about()})
	if err != nil {
		return err
	}
	defer f.Close()
	if err := cmp.Or(writeFront(f, m, &meta), writeReadMe(f, &meta)); err != nil {
		return err
	}
	for i := range m.Sheets {
		if err := writeSheet(f, &m.Sheets[i], meta.Share); err != nil {
			return err
		}
	}
	if err := define(f, m); err != nil {
		return err
	}
	return f.Write(w)
}
