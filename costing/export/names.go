package export

import (
	"strings"

	"github.com/xuri/excelize/v2"

	"kerfbook/costing/graph/workbook"
)

// names defines every name of the model for the whole workbook, and the head
// row of each sheet as the one to repeat on paper.
func (b *bookWriter) names(m *workbook.Model) error {
	for i := range m.Sheets {
		s := &m.Sheets[i]
		err := b.f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", RefersTo: quoted(s.Name) + "!$1:$1", Scope: s.Name})
		if err != nil {
			return err
		}
	}
	for i := range m.Sheets {
		s := &m.Sheets[i]
		for j := range s.Rows {
			r, at := &s.Rows[j], "$"+itoa(j+firstRow)
			b.name(r.Name, quoted(s.Name)+"!"+letter(valueColumn)+at)
			if r.Low != nil {
				b.name(r.Low.Name, quoted(s.Name)+"!"+letter(lowColumn)+at)
			}
			if r.High != nil {
				b.name(r.High.Name, quoted(s.Name)+"!"+letter(highColumn)+at)
			}
		}
	}
	for _, k := range m.Blocks {
		from, to := letter(valueColumn)+"$"+itoa(k.From+firstRow), letter(valueColumn)+"$"+itoa(k.To+firstRow)
		b.name(k.Name, quoted(k.Sheet)+"!"+from+":"+to)
	}
	return nil
}

// name defines one name. It appends to the list the library keeps: its own
// method walks the list for each name, which at ten thousand names is fifty
// million comparisons, and the model has made them unique.
func (b *bookWriter) name(name, refersTo string) {
	if name == "" {
		return
	}
	list := b.f.WorkBook.DefinedNames
	one := list.DefinedName[0] // the type has no name outside the library
	one.Name, one.Data, one.LocalSheetID = name, refersTo, nil
	list.DefinedName = append(list.DefinedName, one)
}

func quoted(sheet string) string { return "'" + strings.ReplaceAll(sheet, "'", "''") + "'" }

// letter gives an absolute column.
func letter(column int) string { return "$" + string(rune('A'+column-1)) }
