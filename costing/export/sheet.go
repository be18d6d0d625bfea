package export

import (
	"strings"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/workbook"
)

// sheetWriter writes one figure sheet.
type sheetWriter struct {
	*bookWriter
	sheet   *workbook.Sheet
	columns []column
}

// write prepares the sheet and streams its rows. What the library writes behind
// the rows (protection, validation, page setup) must be set before the stream
// begins, or it is lost.
func (w *sheetWriter) write() error {
	name := w.sheet.Name
	err := firstError(
		func() error { return w.frame(name) },
		func() error { return w.validate() },
		func() error { return w.mark() },
	)
	if err != nil {
		return err
	}
	stream, err := w.f.NewStreamWriter(name)
	if err != nil {
		return err
	}
	for i := len(w.columns); i > 0; i-- { // the library puts the last one first
		if err := stream.SetColWidth(i, i, w.columns[i-1].width); err != nil {
			return err
		}
	}
	err = stream.SetPanes(&excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft",
		Selection: []excelize.Selection{{SQRef: "B2", ActiveCell: "B2", Pane: "bottomLeft"}}})
	if err != nil {
		return err
	}
	if err := w.rows(stream); err != nil {
		return err
	}
	return stream.Flush()
}

func (w *sheetWriter) rows(stream *excelize.StreamWriter) error {
	if err := w.head(stream); err != nil {
		return err
	}
	for i := range w.sheet.Rows {
		r := &w.sheet.Rows[i]
		values, opts, err := w.row(r)
		if err != nil {
			return err
		}
		if err := stream.SetRow("A"+itoa(i+firstRow), values, opts); err != nil {
			return err
		}
	}
	return nil
}

// row gives the cells of a row. A heading has its line under all columns.
func (w *sheetWriter) row(r *workbook.Row) ([]any, excelize.RowOpts, error) {
	values := make([]any, len(w.columns))
	if r.Heading {
		id, err := w.styles.id(styleKey{look: heading, format: textFormat})
		for i := range values {
			values[i] = excelize.Cell{StyleID: id}
		}
		values[0] = excelize.Cell{StyleID: id, Value: r.Label}
		return values, excelize.RowOpts{Height: 22}, err
	}
	for i, c := range w.columns {
		cell, err := c.cell(w, r)
		if err != nil {
			return nil, excelize.RowOpts{}, err
		}
		if cell != (excelize.Cell{}) {
			values[i] = cell
		}
	}
	return values, excelize.RowOpts{Height: lineHeight * float64(w.lines(values))}, nil
}

const lineHeight = 13.5 // points

// lines gives the lines of the longest text of a row, which wraps. Not every
// program lets a row grow by itself.
func (w *sheetWriter) lines(values []any) int {
	most := 1
	for i, v := range values {
		cell, _ := v.(excelize.Cell)
		if text, ok := cell.Value.(string); ok {
			perLine := int(1.3 * w.columns[i].width) // the widths are those of digits in a larger type
			most = max(most, 1+(utf8.RuneCountInString(text)-1)/perLine)
		}
	}
	return most
}

func (w *sheetWriter) head(stream *excelize.StreamWriter) error {
	values := make([]any, len(w.columns))
	for i, c := range w.columns {
		cell, err := w.cell(styleKey{look: head, format: textFormat, indent: i > 0 && !c.right, right: c.right}, c.head)
		if err != nil {
			return err
		}
		values[i] = cell
	}
	return stream.SetRow("A1", values, excelize.RowOpts{Height: 20})
}

// cell makes a cell that holds a number or a text; an empty text makes none.
func (w *bookWriter) cell(k styleKey, value any) (excelize.Cell, error) {
	if value == "" {
		return excelize.Cell{}, nil
	}
	id, err := w.styles.id(k)
	return excelize.Cell{StyleID: id, Value: value}, err
}

// live makes a cell with a formula and its last value; with an empty formula,
// one that holds the value.
func (w *bookWriter) live(k styleKey, formula string, r *workbook.Row) (excelize.Cell, error) {
	id, err := w.styles.id(k)
	c := excelize.Cell{StyleID: id, Formula: formula}
	if r.Known {
		c.Value = cellNumber(r.Value)
	}
	return c, err
}

// rangesPerRule keeps the list of cells of one validation rule at a length every
// program reads.
const rangesPerRule = 200

// largestTyped bounds what may be typed. A rule cannot ask for just any number;
// this one lets every number through that a spreadsheet keeps all digits of.
const largestTyped = 1e15

// validate asks for a number in every input cell.
func (w *sheetWriter) validate() error {
	ranges := w.inputRanges()
	for len(ranges) > 0 {
		n := min(len(ranges), rangesPerRule)
		rule := excelize.NewDataValidation(false)
		rule.SetSqref(strings.Join(ranges[:n], " "))
		if err := rule.SetRange(-largestTyped, largestTyped, excelize.DataValidationTypeDecimal, excelize.DataValidationOperatorBetween); err != nil {
			return err
		}
		rule.SetError(excelize.DataValidationErrorStyleStop, "A number, please", "This cell takes a number in the unit beside it.")
		if err := w.f.AddDataValidation(w.sheet.Name, rule); err != nil {
			return err
		}
		ranges = ranges[n:]
	}
	return nil
}

// inputRanges gives the runs of input cells of the sheet.
func (w *sheetWriter) inputRanges() []string {
	var out []string
	rows := w.sheet.Rows
	for i := 0; i < len(rows); i++ {
		if !isInput(&rows[i]) {
			continue
		}
		from := i
		for i+1 < len(rows) && isInput(&rows[i+1]) {
			i++
		}
		out = append(out, "B"+itoa(from+firstRow)+":B"+itoa(i+firstRow))
	}
	return out
}

func isInput(r *workbook.Row) bool { return !r.Heading && r.Kind == graph.Input }

// mark makes a failed check stand out, in bold as well as in colour.
func (w *sheetWriter) mark() error {
	if w.sheet.Role != workbook.Checks && w.sheet.Role != workbook.Headline {
		return nil
	}
	format, err := w.f.NewConditionalStyle(&excelize.Style{Font: &excelize.Font{Bold: true, Color: failText}})
	if err != nil {
		return err
	}
	words := "C" + itoa(firstRow) + ":C" + itoa(firstRow+len(w.sheet.Rows)-1)
	return w.f.SetConditionalFormat(w.sheet.Name, words, []excelize.ConditionalFormatOptions{
		{Type: "cell", Criteria: "==", Value: "0", Format: &format}})
}
