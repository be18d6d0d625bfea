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
	{xlsx.Paragraph, "order", "First “cost and price”, one page to print; then “inputs”, by subject and record; then the working: of each thing costs, quantities, and in level 2 of the outline what only helps them and what was not chosen. To fold that away, unprotect the sheet; it has no password. The key of a figure, in the last column, is not printed."},
	{xlsx.Sample, "input", "Yellow cells are inputs. Change them; everything else follows at once."},
	{xlsx.Decided, "decided", "Blue cells were decided for the inputs as they were (a layout, a pick). They do not follow; the sheet “checks” says FAILS when an input has left what they were decided for."},
	{xlsx.Constant, "fixed", "Grey cells are fixed: conversion factors and rounding steps. White cells are formulas, and every formula names the figures it uses."},
}

// writeReadMe writes the page after the first: what the file is, what order and
// colours mean, and the cautions.
func writeReadMe(f *xlsx.File, m *Meta) error {
	if err := f.AddSheet(workbook.ReadMe, xlsx.Paper{}); err != nil {
		return err
	}
	const width = 110
	rows, err := f.Rows(workbook.ReadMe, 14, width)
	if err != nil {
		return err
	}
	put := func(l xlsx.Look, label, text string) {
		height := 26.0 // of a title or heading
		if text != "" {
			height = xlsx.Lines(1 + xlsx.LinesIn(width, text))
		}
		rows.Put(height, rows.Formula(xlsx.Style{Look: l, Format: xlsx.Text}, "", label),
			rows.Cell(xlsx.Style{Look: xlsx.Paragraph, Format: xlsx.Text, Wrap: true, Indent: true}, text))
	}
	put(xlsx.Title, m.Title, "")
	put(xlsx.Paragraph, m.Subject, "")
	put(xlsx.Heading, "How to read the sheets", "")
	for _, l := range legend {
		put(l.look, l.label, l.text)
	}
	if len(m.Cautions) > 0 {
		put(xlsx.Heading, "Cautions", "")
	}
	for i, c := range m.Cautions {
		put(xlsx.Paragraph, strconv.Itoa(i+1), c)
	}
	return rows.Close()
}
