package export

import (
	"github.com/xuri/excelize/v2"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/workbook"
)

// column is one column of a figure sheet.
type column struct {
	head  string
	right bool    // the head stands over numbers
	width float64 // characters
	cell  func(w *sheetWriter, r *workbook.Row) (excelize.Cell, error)
}

// columnsOf gives the columns of a sheet: low and high stand only where a row
// has them.
func columnsOf(s *workbook.Sheet) []column {
	cols := []column{
		{"figure", false, 44, labelCell},
		{"value", true, 16, valueCell},
		{unitHead(s), false, 14, unitCell},
	}
	if s.HasBounds() {
		cols = append(cols,
			column{"low", true, 11, boundCell(func(r *workbook.Row) *workbook.Bound { return r.Low })},
			column{"high", true, 11, boundCell(func(r *workbook.Row) *workbook.Bound { return r.High })})
	}
	return append(cols,
		column{"how", false, 20, textCell(func(r *workbook.Row) string { return r.FormulaID })},
		column{"source", false, 38, textCell(func(r *workbook.Row) string { return r.Source })},
		column{"key", false, 38, textCell(func(r *workbook.Row) string { return r.Key })})
}

func unitHead(s *workbook.Sheet) string {
	if s.Role == workbook.Checks {
		return "in words"
	}
	return "unit"
}

// The places of the cells that have names.
const (
	valueColumn = 2
	lowColumn   = 4
	highColumn  = 5
	firstRow    = 2 // below the head
)

func labelCell(w *sheetWriter, r *workbook.Row) (excelize.Cell, error) {
	return w.cell(styleKey{format: textFormat, wrap: true}, r.Label)
}

// valueCell holds a number, or a formula with what it gave when last computed.
func valueCell(w *sheetWriter, r *workbook.Row) (excelize.Cell, error) {
	k := styleKey{look: lookOf(r.Kind), format: numberFormat(r.Unit, r.Kind)}
	if r.Verdict {
		k.format = wholeNumber
	}
	return w.live(k, r.Formula, r)
}

// unitCell holds the unit; of a check, the verdict in words.
func unitCell(w *sheetWriter, r *workbook.Row) (excelize.Cell, error) {
	if !r.Verdict {
		return w.cell(styleKey{format: textFormat, indent: true}, r.Unit)
	}
	formula := r.Name
	if formula == "" {
		formula = r.Formula
	}
	return w.live(styleKey{format: verdict, indent: true}, formula, r)
}

func boundCell(of func(*workbook.Row) *workbook.Bound) func(*sheetWriter, *workbook.Row) (excelize.Cell, error) {
	return func(w *sheetWriter, r *workbook.Row) (excelize.Cell, error) {
		b := of(r)
		if b == nil {
			return excelize.Cell{}, nil
		}
		return w.cell(styleKey{look: constant, format: numberFormat(r.Unit, graph.Fixed)}, cellNumber(b.Value))
	}
}

func textCell(of func(*workbook.Row) string) func(*sheetWriter, *workbook.Row) (excelize.Cell, error) {
	return func(w *sheetWriter, r *workbook.Row) (excelize.Cell, error) {
		return w.cell(styleKey{format: textFormat, quiet: true, wrap: true, indent: true}, of(r))
	}
}
