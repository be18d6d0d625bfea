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

// writeSheet writes one figure sheet.
func writeSheet(f *xlsx.File, s *workbook.Sheet, share func(*workbook.Row) bool) error {
	columns := columnsOf(s, share)
	var widths []float64
	for _, c := range columns {
		widths = append(widths, c.width)
	}
	if err := f.AddSheet(s.Name, xlsx.Paper{Portrait: true}); err != nil {
		return err
	}
	if err := cmp.Or(validate(f, s), mark(f, s)); err != nil {
		return err
	}
	w, err := f.Rows(s.Name, widths...)
	if err != nil {
		return err
	}
	err = w.SetPanes(&excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft",
		Selection: []excelize.Selection{{SQRef: "B2", ActiveCell: "B2", Pane: "bottomLeft"}}})
	if err != nil {
		return err
	}
	heads := make([]any, len(columns))
	for i, c := range columns {
		heads[i] = w.Cell(xlsx.Style{Look: xlsx.Head, Format: xlsx.Text, Indent: i > 0 && !c.right, Right: c.right}, c.head)
	}
	w.Put(20, heads...)
	for i := range s.Rows {
		writeRow(w, columns, &s.Rows[i])
	}
	return w.Close()
}

// writeRow writes the cells of a row. A heading has its line under all columns.
func writeRow(w *xlsx.Rows, columns []column, r *workbook.Row) {
	w.Level = int(r.Level)
	values := make([]any, len(columns))
	if r.Heading {
		style, height := xlsx.Style{Look: xlsx.Heading, Format: xlsx.Text}, 22.0
		if r.Level > 0 {
			style.Look, height = xlsx.Sum, xlsx.Lines(1)
		}
		for i, c := range columns {
			values[i] = w.Formula(style, "", nil)
			if c.every {
				values[i] = c.cell(w, r)
			}
		}
		values[0] = w.Formula(style, "", r.Label)
		w.Put(height, values...)
		return
	}
	lines := 1 // of the longest text, which wraps
	for i, c := range columns {
		cell := c.cell(w, r)
		if cell == (excelize.Cell{}) {
			continue
		}
		values[i] = cell
		if text, ok := cell.Value.(string); ok {
			lines = max(lines, xlsx.LinesIn(c.width, text))
		}
	}
	w.Put(xlsx.Lines(lines), values...)
}

// rangesPerRule keeps the list of cells of one validation rule at a length every
// program reads.
const rangesPerRule = 200

// largestTyped bounds what may be typed. A rule cannot ask for just any number;
// this one lets every number through that a spreadsheet keeps all digits of.
const largestTyped = 1e15

// validate asks for a number in every input cell.
func validate(f *xlsx.File, s *workbook.Sheet) error {
	for ranges := range slices.Chunk(inputRanges(s.Rows), rangesPerRule) {
		rule := excelize.NewDataValidation(false)
		rule.SetSqref(strings.Join(ranges, " "))
		if err := rule.SetRange(-largestTyped, largestTyped, excelize.DataValidationTypeDecimal, excelize.DataValidationOperatorBetween); err != nil {
			return err
		}
		rule.SetError(excelize.DataValidationErrorStyleStop, "A number, please", "This cell takes a number in the unit beside it.")
		if err := f.AddDataValidation(s.Name, rule); err != nil {
			return err
		}
	}
	return nil
}

// inputRanges gives the runs of input cells among rows.
func inputRanges(rows []workbook.Row) []string {
	isInput := func(i int) bool { return i < len(rows) && !rows[i].Heading && rows[i].Kind == graph.Input }
	var out []string
	for i := 0; i < len(rows); i++ {
		if !isInput(i) {
			continue
		}
		from := i
		for isInput(i + 1) {
			i++
		}
		out = append(out, "B"+strconv.Itoa(from+firstRow)+":B"+strconv.Itoa(i+firstRow))
	}
	return out
}

// mark makes a failed check stand out, in bold as well as in colour.
func mark(f *xlsx.File, s *workbook.Sheet) error {
	if s.Role != workbook.Checks {
		return nil
	}
	format, err := f.NewConditionalStyle(&excelize.Style{Font: &excelize.Font{Bold: true, Color: xlsx.FailText}})
	if err != nil {
		return err
	}
	words := "C" + strconv.Itoa(firstRow) + ":C" + strconv.Itoa(firstRow+len(s.Rows)-1)
	return f.SetConditionalFormat(s.Name, words, []excelize.ConditionalFormatOptions{
		{Type: "cell", Criteria: "==", Value: "0", Format: &format}})
}
