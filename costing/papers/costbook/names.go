package costbook

import (
	"cmp"
	"strconv"

	"github.com/xuri/excelize/v2"

	"kerfbook/costing/graph/workbook"
	"kerfbook/costing/papers/xlsx"
)

// The places of the cells that have names.
const (
	valueColumn = "$B$"
	lowColumn   = "$D$"
	highColumn  = "$E$"
	failsColumn = "H" // of the checks
	firstRow    = 2   // below the head
)

// define defines every name of the model for the whole workbook, and of each sheet
// what is printed and the head to repeat on paper.
func define(f *xlsx.File, m *workbook.Model) error {
	if err := f.RepeatHead(workbook.FirstPage, 1, 2); err != nil {
		return err
	}
	row := func(i int) string { return strconv.Itoa(i + firstRow) }
	for i := range m.Sheets {
		s := &m.Sheets[i]
		last, err := excelize.ColumnNumberToName(len(columnsOf(s, nil)) - 1) // the key stays on the screen
		err = cmp.Or(err, f.RepeatHead(s.Name, 1, 1), f.PrintOnly(s.Name, "$A$1:$"+last+"$"+row(len(s.Rows)-1)))
		if err != nil {
			return err
		}
	}
	for i := range m.Sheets {
		s := &m.Sheets[i]
		for j := range s.Rows {
			r := &s.Rows[j]
			if r.Name != "" {
				f.Name(r.Name, s.Name, valueColumn+row(j))
			}
			if r.Low != nil && r.Low.Name != "" {
				f.Name(r.Low.Name, s.Name, lowColumn+row(j))
			}
			if r.High != nil && r.High.Name != "" {
				f.Name(r.High.Name, s.Name, highColumn+row(j))
			}
		}
	}
	if s := m.Checks(); s != nil {
		f.Name(workbook.FailedChecks, s.Name, "$"+failsColumn+"$"+row(0))
	}
	for _, k := range m.Blocks {
		f.Name(k.Name, k.Sheet, valueColumn+row(k.From)+":"+valueColumn+row(k.To))
	}
	return nil
}
