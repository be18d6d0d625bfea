package export

import (
	"io"
	"strconv"
	"time"

	"github.com/xuri/excelize/v2"

	"kerfbook/costing/graph/workbook"
)

// WriteWorkbook writes a sheet model as an .xlsx file: a page to read first,
// then one sheet per sheet of the model. Formulas are live; only input cells can
// be edited, since the sheets are protected, without a password.
//
// The error is a [*DayError], or what w or the library returned.
func WriteWorkbook(w io.Writer, m *workbook.Model, meta Meta) error {
	at, err := meta.stamp()
	if err != nil {
		return err
	}
	f := excelize.NewFile()
	defer f.Close()
	b := &bookWriter{f: f, meta: &meta, styles: &styles{f: f, made: map[styleKey]int{}}}
	err = firstError(
		func() error { return b.properties(at) },
		func() error { return b.readMe() },
		func() error { return b.sheets(m) },
		func() error { return b.names(m) },
	)
	if err != nil {
		return err
	}
	f.SetZipWriter(func(w io.Writer) excelize.ZipWriter { return newSortedZip(w, at) })
	_, err = f.WriteTo(w)
	return err
}

// bookWriter writes one file.
type bookWriter struct {
	f      *excelize.File
	meta   *Meta
	styles *styles
}

// properties dates and names the file, and asks the program that opens it to
// calculate before it shows anything.
func (b *bookWriter) properties(at time.Time) error {
	stamp, always := at.Format(time.RFC3339), true
	return firstError(
		func() error {
			return b.f.SetDocProps(&excelize.DocProperties{Title: b.meta.Title, Subject: b.meta.Subject,
				Creator: b.meta.Author, LastModifiedBy: b.meta.Author, Created: stamp, Modified: stamp})
		},
		func() error { return b.f.SetAppProps(&excelize.AppProperties{Application: "Kerfbook"}) },
		func() error { return b.f.SetCalcProps(&excelize.CalcPropsOptions{FullCalcOnLoad: &always}) },
	)
}

func (b *bookWriter) sheets(m *workbook.Model) error {
	for i := range m.Sheets {
		s := &m.Sheets[i]
		if _, err := b.f.NewSheet(s.Name); err != nil {
			return err
		}
		w := &sheetWriter{bookWriter: b, sheet: s, columns: columnsOf(s)}
		if err := w.write(); err != nil {
			return err
		}
	}
	b.f.SetActiveSheet(0)
	return nil
}

// frame protects a sheet and sets up its page: landscape, one page wide, the
// head on every page.
func (b *bookWriter) frame(sheet string) error {
	landscape, wide, tall, fit, a4 := "landscape", 1, 0, true, 9
	side, end := 0.4, 0.6 // inches
	return firstError(
		func() error { return b.f.SetSheetProps(sheet, &excelize.SheetPropsOptions{FitToPage: &fit}) },
		func() error {
			return b.f.SetPageLayout(sheet, &excelize.PageLayoutOptions{Orientation: &landscape, Size: &a4,
				FitToWidth: &wide, FitToHeight: &tall})
		},
		func() error {
			return b.f.SetPageMargins(sheet, &excelize.PageLayoutMarginsOptions{Left: &side, Right: &side, Top: &end, Bottom: &end})
		},
		func() error {
			return b.f.SetHeaderFooter(sheet, &excelize.HeaderFooterOptions{OddFooter: "&L&A&R&P / &N"})
		},
		func() error {
			return b.f.ProtectSheet(sheet, &excelize.SheetProtectionOptions{SelectLockedCells: true,
				SelectUnlockedCells: true, FormatColumns: true, FormatRows: true})
		},
	)
}

func itoa(n int) string { return strconv.Itoa(n) }

// firstError runs steps until one fails.
func firstError(steps ...func() error) error {
	for _, step := range steps {
		if err := step(); err != nil {
			return err
		}
	}
	return nil
}
