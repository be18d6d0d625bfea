package costbook

import (
	"cmp"
	"strconv"

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
	every bool // headings have a cell in it too
}

// columnsOf gives the columns of a sheet.
func columnsOf(s *workbook.Sheet, share func(*workbook.Row) bool) []column {
	unit := "unit"
	if s.Role == workbook.Checks {
		unit = "in words"
	}
	cols := []column{
		{head: "figure", width: 44, cell: labelCell},
		{head: "value", right: true, width: 16, cell: valueCell(share)},
		{head: unit, width: 14, cell: unitCell},
	}
	if s.Role == workbook.Inputs || s.Role == workbook.Checks { // of ranges, and of the inputs of a decision
		cols = append(cols,
			column{head: "low", right: true, width: 11, cell: boundCell(func(r *workbook.Row) *workbook.Bound { return r.Low })},
			column{head: "high", right: true, width: 11, cell: boundCell(func(r *workbook.Row) *workbook.Bound { return r.High })})
	}
	cols = append(cols,
		column{head: "how", width: 20, cell: textCell(func(r *workbook.Row) string { return r.FormulaID })},
		column{head: "source", width: 38, cell: textCell(func(r *workbook.Row) string { return r.Source })})
	if s.Role == workbook.Checks {
		cols = append(cols, column{head: "fails, from here down", width: 22, every: true, cell: failing})
	}
	return append(cols, column{head: "key", width: 38, cell: textCell(func(r *workbook.Row) string { return r.Key })})
}

// failing names, in each row of the checks, those that do not hold from there down,
// so that the row of all checks names all. The last row adds what is below it:
// nothing.
func failing(w *xlsx.Rows, r *workbook.Row) excelize.Cell {
	formula := failsColumn + strconv.Itoa(w.Last+2) + `&""`
	if !r.Heading && r.Name != workbook.EveryCheck {
		formula = "IF(IFERROR(" + r.Name + `,0)=1,"",A` + strconv.Itoa(w.Last+1) + `&". ")&` + formula
	}
	return w.Formula(xlsx.Style{Quiet: true, Indent: true}, formula, nil)
}

func labelCell(w *xlsx.Rows, r *workbook.Row) excelize.Cell {
	return w.Cell(xlsx.Style{Format: xlsx.Text, Wrap: true}, r.Label)
}

// valueCell holds a number, or a formula with what it gave when last computed.
func valueCell(share func(*workbook.Row) bool) func(*xlsx.Rows, *workbook.Row) excelize.Cell {
	return func(w *xlsx.Rows, r *workbook.Row) excelize.Cell {
		k := xlsx.Style{Look: lookOf(r.Kind), Format: numberFormat(r.Unit, r.Kind)}
		switch {
		case r.Verdict:
			k.Format = xlsx.Whole
		case share != nil && share(r):
			k.Format = percent(r)
		}
		return live(w, k, r.Formula, r)
	}
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
