package costbook

import (
	"strconv"

	"kerfbook/costing/graph/workbook"
	"kerfbook/costing/papers/xlsx"
)

// legend explains the cells in plain words.
var legend = []struct {
	look  xlsx.Look
	label string
	text  string
}{
	{xlsx.Sample, "input", "Yellow cells are inputs. Change them; everything else follows at once."},
	{xlsx.Decided, "decided", "Blue cells were decided for the inputs as they were (a layout, a pick). They do not follow; the sheet “checks” says FAILS when an input has left what they were decided for."},
	{xlsx.Paragraph, "order", "First “cost and price”, one page to print; then “inputs”, by subject and record; then the working: of each thing costs, quantities, and in level 2 of the outline what only helps them and what was not chosen. To fold that away, unprotect the sheet; it has no password. The key of a figure, in the last column, is not printed."},
	{xlsx.Constant, "fixed", "Grey cells are fixed: conversion factors and rounding steps. White cells are formulas, and every formula names the figures it uses."},
}

// writeReadMe writes the page after the first: what the file is, what the colours mean,
// and the cautions.
func writeReadMe(f *xlsx.File, m *Meta) error {
	if err := f.AddSheet(workbook.ReadMe, xlsx.Paper{}); err != nil {
		return err
	}
	rows, err := f.Rows(workbook.ReadMe, 14, 100)
	if err != nil {
		return err
	}
	p := page{rows}
	p.line(xlsx.Title, m.Title)
	p.line(xlsx.Paragraph, m.Subject)
	p.line(xlsx.Heading, "How to read the sheets")
	for _, l := range legend {
		p.pair(l.look, l.label, l.text)
	}
	if len(m.Cautions) > 0 {
		p.line(xlsx.Heading, "Cautions")
	}
	for i, c := range m.Cautions {
		p.pair(xlsx.Paragraph, strconv.Itoa(i+1), c)
	}
	return p.Close()
}

// page writes the rows of a sheet of words, as high as their texts: not every
// program lets a row grow by itself.
type page struct{ *xlsx.Rows }

// line writes text over both columns; without any, it leaves the row out.
func (p page) line(l xlsx.Look, text string) {
	if text == "" {
		p.Last++
		return
	}
	height := 26.0
	if l == xlsx.Paragraph {
		height = 18
	}
	style := xlsx.Style{Look: l, Format: xlsx.Text}
	p.Put(height, p.Formula(style, "", text), p.Formula(style, "", nil))
}

// pair writes a label and a paragraph beside it.
func (p page) pair(l xlsx.Look, label, text string) {
	const lineHeight, perLine = 15.0, 100
	p.Put(lineHeight*float64(1+len([]rune(text))/perLine)+3,
		p.Formula(xlsx.Style{Look: l, Format: xlsx.Text}, "", label),
		p.Formula(xlsx.Style{Look: xlsx.Paragraph, Format: xlsx.Text, Wrap: true, Indent: true}, "", text))
}
