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
	firstRow    = 2 // below the head
)

// define defines every name of the model for the whole workbook, and the head
// row of each sheet as the one to repeat on paper.
func define(f *xlsx.File, m *workbook.Model) error {
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
		columns := columnsOf(s, nil)
		at, err := excelize.ColumnNumberToName(len(columns) - 1) // before the key
		if err != nil {
			return err
		}
		f.Name(workbook.FailedChecks, s.Name, "$"+at+"$"+row(0))
	}
	for _, k := range m.Blocks {
		f.Name(k.Name, k.Sheet, valueColumn+row(k.From)+":"+valueColumn+row(k.To))
	}
	return nil
}
