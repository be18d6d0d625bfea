package costbook

import (
	"cmp"

	"github.com/xuri/excelize/v2"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/workbook"
	"kerfbook/costing/papers/xlsx"
)

// column is one column of a figure sheet.
type column struct {
	head  string
	right bool    // the head stands over numbers
	width float64 // characters
	cell  func(w *xlsx.Rows, r *workbook.Row) excelize.Cell
}

// columnsOf gives the columns of a sheet: low and high stand only where a row
// has them.
func columnsOf(s *workbook.Sheet) []column {
	unit := "unit"
	if s.Role == workbook.Checks {
		unit = "in words"
	}
	cols := []column{
		{"figure", false, 44, labelCell},
		{"value", true, 16, valueCell},
		{unit, false, 14, unitCell},
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

func labelCell(w *xlsx.Rows, r *workbook.Row) excelize.Cell {
	return w.Cell(xlsx.Style{Format: xlsx.Text, Wrap: true}, r.Label)
}

// valueCell holds a number, or a formula with what it gave when last computed.
func valueCell(w *xlsx.Rows, r *workbook.Row) excelize.Cell {
	k := xlsx.Style{Look: lookOf(r.Kind), Format: numberFormat(r.Unit, r.Kind)}
	if r.Verdict {
		k.Format = xlsx.Whole
	}
	return live(w, k, r.Formula, r)
}

// unitCell holds the unit; of a check, the verdict in words.
func unitCell(w *xlsx.Rows, r *workbook.Row) excelize.Cell {
	if !r.Verdict {
		return w.Cell(xlsx.Style{Format: xlsx.Text, Indent: true}, r.Unit)
	}
	return live(w, xlsx.Style{Format: verdict, Indent: true}, cmp.Or(r.Name, r.Formula), r)
}

// live makes a cell with a formula and its last value; with an empty formula,
// one that holds the value.
func live(w *xlsx.Rows, k xlsx.Style, formula string, r *workbook.Row) excelize.Cell {
	var last any
	if r.Known {
		last = xlsx.Number(r.Value)
	}
	return w.Formula(k, formula, last)
}

func boundCell(of func(*workbook.Row) *workbook.Bound) func(*xlsx.Rows, *workbook.Row) excelize.Cell {
	return func(w *xlsx.Rows, r *workbook.Row) excelize.Cell {
		b := of(r)
		if b == nil {
			return excelize.Cell{}
		}
		return w.Cell(xlsx.Style{Look: xlsx.Constant, Format: numberFormat(r.Unit, graph.Fixed)}, xlsx.Number(b.Value))
	}
}

func textCell(of func(*workbook.Row) string) func(*xlsx.Rows, *workbook.Row) excelize.Cell {
	return func(w *xlsx.Rows, r *workbook.Row) excelize.Cell {
		return w.Cell(xlsx.Style{Format: xlsx.Text, Quiet: true, Wrap: true, Indent: true}, of(r))
	}
}
