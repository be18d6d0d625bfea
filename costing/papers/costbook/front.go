package costbook

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/workbook"
	"kerfbook/costing/papers/xlsx"
)

// Table is a block of the first page: figures in columns.
type Table struct {
	Title   string // "Cost of one piece, EUR"
	Columns []string
	Lines   []Line
	Notes   []string // below it, one paragraph each
}

// Line is one line of a table.
type Line struct {
	Label   string     // "" for that of its first figure
	Share   bool       // read as per cent
	Figures []graph.ID // by column; graph.None where there is none
	look    xlsx.Look
}

// Sum makes a line stand out: what stands above it comes to it.
func (l Line) Sum() Line {
	l.look = xlsx.Sum
	return l
}

// Shown are the figures of tables, for the model.
func Shown(tables []Table) []graph.ID {
	var out []graph.ID
	for _, t := range tables {
		for _, l := range t.Lines {
			out = append(out, l.Figures...)
		}
	}
	return out
}

// Widths of the first page, in characters.
const (
	frontLabel  = 46
	frontFigure = 13
)

// front writes the first page.
type front struct {
	*xlsx.Rows
	m       *workbook.Model
	columns int // of figures, in the widest table
}

// writeFront writes the page to read first: the verdict of the checks in row 2,
// coloured by it, then tables of figures, each a reference to the cell where it is
// worked out.
func writeFront(f *xlsx.File, m *workbook.Model, meta *Meta) error {
	p := front{m: m, columns: 1}
	for _, t := range meta.Tables {
		p.columns = max(p.columns, len(t.Columns))
	}
	last, err := excelize.ColumnNumberToName(1 + p.columns)
	if err != nil {
		return err
	}
	err = cmp.Or(f.AddSheet(workbook.FirstPage, xlsx.Paper{Portrait: p.columns <= 8, OnePage: true}), p.colour(f, "A2:"+last+"2"))
	if err != nil {
		return err
	}
	p.Rows, err = f.Rows(workbook.FirstPage, append([]float64{frontLabel}, slices.Repeat([]float64{frontFigure}, p.columns)...)...)
	if err != nil {
		return err
	}
	p.across(xlsx.Lines(2), p.Cell(xlsx.Style{Look: xlsx.Title, Format: xlsx.Text}, meta.Title))
	formula, text := verdictOf(m)
	p.across(xlsx.Lines(3), p.Formula(xlsx.Style{Look: xlsx.Paragraph, Wrap: true}, formula, text))
	p.across(xlsx.Lines(1), p.Cell(xlsx.Style{Format: xlsx.Text, Quiet: true}, meta.about()))
	for i := range meta.Tables {
		p.table(&meta.Tables[i])
	}
	return p.Close()
}

// colour gives the verdict the colour of a failure, or of success where every check
// holds.
func (p *front) colour(f *xlsx.File, cells string) error {
	if p.m.Checks() == nil {
		return nil
	}
	var rules []excelize.ConditionalFormatOptions
	for _, r := range []struct{ condition, text, fill string }{{everyCheckHolds, xlsx.HoldText, xlsx.HoldFill}, {"NOT(" + everyCheckHolds + ")", xlsx.FailText, xlsx.FailFill}} {
		format, err := f.NewConditionalStyle(&excelize.Style{Font: &excelize.Font{Bold: true, Color: r.text}, Fill: xlsx.Fill(r.fill)})
		if err != nil {
			return err
		}
		rules = append(rules, excelize.ConditionalFormatOptions{Type: "formula", Criteria: r.condition, Format: &format})
	}
	return f.SetConditionalFormat(workbook.FirstPage, cells, rules)
}

// everyCheckHolds is true where all do; one that cannot be computed does not.
const everyCheckHolds = "IFERROR(" + workbook.EveryCheck + ",0)=1"

// verdictOf says whether all checks hold, or which do not: as a formula, and what it
// gave last.
func verdictOf(m *workbook.Model) (formula, text string) {
	checks := m.Checks()
	if checks == nil {
		return "", "There is nothing to check."
	}
	count, failed := 0, []string{}
	for _, r := range checks.Rows[1:] {
		if r.Heading {
			continue
		}
		count++
		if !r.Known || r.Value.IsZero() {
			failed = append(failed, r.Label)
		}
	}
	const holds, fails = "All checks hold: ", "These checks do not hold: "
	formula = "IF(" + everyCheckHolds + `,"` + holds + `"&COUNT(` + workbook.AllChecks + `),"` + fails + `"&` + workbook.FailedChecks + ")"
	if len(failed) == 0 {
		return formula, holds + strconv.Itoa(count)
	}
	return formula, fails + strings.Join(failed, ". ") + ". "
}

// across writes a row whose first cell stands over all columns.
func (p *front) across(height float64, cell excelize.Cell) {
	p.Put(height, cell)
	p.Merge(1 + p.columns)
}

// table leaves out lines without a figure, and itself without lines.
func (p *front) table(t *Table) {
	shown := slices.DeleteFunc(slices.Clone(t.Lines), func(l Line) bool {
		return !slices.ContainsFunc(l.Figures, func(id graph.ID) bool { return p.m.Row(id) != nil })
	})
	if len(shown) == 0 {
		return
	}
	head, lines := xlsx.Style{Look: xlsx.Head, Format: xlsx.Text, Wrap: true, Right: true}, 1
	cells := []any{p.Cell(xlsx.Style{Look: xlsx.Head, Format: xlsx.Text}, t.Title)}
	for i := range p.columns {
		cells = append(cells, p.Formula(head, "", nil))
		if i < len(t.Columns) {
			lines, cells[1+i] = max(lines, xlsx.LinesIn(frontFigure, t.Columns[i])), p.Formula(head, "", t.Columns[i])
		}
	}
	p.Put(xlsx.Lines(1))
	p.Put(xlsx.Lines(lines), cells...)
	for i := range shown {
		p.line(&shown[i])
	}
	for _, n := range t.Notes {
		p.across(xlsx.Lines(xlsx.LinesIn(float64(frontLabel+frontFigure*p.columns), n)), p.Cell(xlsx.Style{Format: xlsx.Text, Quiet: true, Wrap: true}, n))
	}
}

func (p *front) line(l *Line) {
	label, cells := l.Label, make([]any, 1+p.columns)
	for i := range p.columns {
		cells[1+i] = p.Formula(xlsx.Style{Look: l.look}, "", nil)
		if i >= len(l.Figures) {
			continue
		}
		if r := p.m.Row(l.Figures[i]); r != nil {
			label, cells[1+i] = cmp.Or(label, r.Label), live(p.Rows, xlsx.Style{Look: l.look, Format: l.format(r)}, r.Name, r)
		}
	}
	cells[0] = p.Cell(xlsx.Style{Look: l.look, Format: xlsx.Text}, label)
	p.Put(xlsx.Lines(1), cells...)
}

// format shows money to its minor unit and a share as per cent.
func (l *Line) format(r *workbook.Row) string {
	code := currencyOf(r.Unit)
	switch {
	case l.Share:
		return xlsx.Percent
	case code != "":
		return amount(code, 0)
	}
	return xlsx.General
}

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
