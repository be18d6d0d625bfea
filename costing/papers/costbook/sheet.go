package costbook

import (
	"cmp"
	"strconv"

	"github.com/xuri/excelize/v2"

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
	if err := validate(f, s); err != nil {
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

// largestTyped bounds what may be typed. A rule cannot ask for just any number;
// this one lets every number through that a spreadsheet keeps all digits of.
const largestTyped = 1e15

// validate asks for a number in every input cell: in the column of the inputs all that
// can be edited is one.
func validate(f *xlsx.File, s *workbook.Sheet) error {
	if s.Role != workbook.Inputs {
		return nil
	}
	rule := excelize.NewDataValidation(false)
	rule.SetSqref("B" + strconv.Itoa(firstRow) + ":B" + strconv.Itoa(firstRow+len(s.Rows)-1))
	err := rule.SetRange(-largestTyped, largestTyped, excelize.DataValidationTypeDecimal, excelize.DataValidationOperatorBetween)
	rule.SetError(excelize.DataValidationErrorStyleStop, "A number, please", "This cell takes a number in the unit beside it.")
	return cmp.Or(err, f.AddDataValidation(s.Name, rule))
}
