package costbook

import (
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
	// Day is the day the figures are for. It also dates the file, so that the
	// same figures make the same file whenever they are written.
	Day bom.Date
	// Cautions are shown on the first page, one paragraph each.
	Cautions []string
}

// Write writes a sheet model as an .xlsx file: a page to read first, then one
// sheet per sheet of the model. Formulas are live; only input cells can be
// edited, since the sheets are protected, without a password.
//
// The error is a [*xlsx.DayError], or what w or the library returned.
func Write(w io.Writer, m *workbook.Model, meta Meta) error {
	f, err := xlsx.New(xlsx.Properties{Title: meta.Title, Subject: meta.Subject, Author: meta.Author, Day: meta.Day})
	if err != nil {
		return err
	}
	defer f.Close()
	if err := writeReadMe(f, &meta); err != nil {
		return err
	}
	for i := range m.Sheets {
		if err := writeSheet(f, &m.Sheets[i]); err != nil {
			return err
		}
	}
	if err := define(f, m); err != nil {
		return err
	}
	return f.Write(w)
}
