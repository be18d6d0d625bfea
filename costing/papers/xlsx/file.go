package xlsx

import (
	"cmp"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"

	"kerfbook/bom"
)

// Properties describe a file to the program that opens it.
type Properties struct {
	Title, Subject string
	Author         string // the shop
	// Day is the day the figures are for. It also dates the file, so that the
	// same figures make the same file whenever they are written.
	Day bom.Date
}

// DayError is a day that no file can be dated with.
type DayError struct{ Day bom.Date }

func (e *DayError) Error() string { return fmt.Sprintf("day %q is not a date", e.Day) }

// File is a workbook in the making.
type File struct {
	*excelize.File
	at     time.Time
	styles map[Style]int
	begun  bool // the first sheet is there
}

// New begins a file. Whoever opens it has it calculated before anything is
// shown. The error is a [*DayError], or what the library returned.
func New(p Properties) (*File, error) {
	at, err := time.Parse(time.DateOnly, string(p.Day))
	if err != nil || at.Year() < 1980 || at.Year() > 2100 { // zip entries begin in 1980
		return nil, &DayError{p.Day}
	}
	f := &File{File: excelize.NewFile(), at: at, styles: map[Style]int{}}
	stamp, always := at.Format(time.RFC3339), true
	return f, cmp.Or(
		f.SetDocProps(&excelize.DocProperties{Title: p.Title, Subject: p.Subject,
			Creator: p.Author, LastModifiedBy: p.Author, Created: stamp, Modified: stamp}),
		f.SetAppProps(&excelize.AppProperties{Application: "Kerfbook"}),
		f.SetCalcProps(&excelize.CalcPropsOptions{FullCalcOnLoad: &always}))
}

// Write writes the file; it can be closed then. The first sheet is the one shown, as
// the library begins it: asking it to say so has it read every sheet again.
func (f *File) Write(w io.Writer) error {
	f.SetZipWriter(func(w io.Writer) excelize.ZipWriter { return newSortedZip(w, f.at) })
	_, err := f.WriteTo(w)
	return err
}

// AddSheet adds a sheet, protects it without a password and sets up its page:
// landscape, one page wide.
func (f *File) AddSheet(name string) error {
	if f.begun {
		if _, err := f.NewSheet(name); err != nil {
			return err
		}
	} else if err := f.SetSheetName("Sheet1", name); err != nil {
		return err
	}
	f.begun = true
	landscape, wide, tall, fit, a4 := "landscape", 1, 0, true, 9
	side, end := 0.4, 0.6 // inches
	return cmp.Or(
		f.SetSheetProps(name, &excelize.SheetPropsOptions{FitToPage: &fit}),
		f.SetPageLayout(name, &excelize.PageLayoutOptions{Orientation: &landscape, Size: &a4, FitToWidth: &wide, FitToHeight: &tall}),
		f.SetPageMargins(name, &excelize.PageLayoutMarginsOptions{Left: &side, Right: &side, Top: &end, Bottom: &end}),
		f.SetHeaderFooter(name, &excelize.HeaderFooterOptions{OddFooter: "&L&A&R&P / &N"}),
		f.ProtectSheet(name, &excelize.SheetProtectionOptions{SelectLockedCells: true,
			SelectUnlockedCells: true, FormatColumns: true, FormatRows: true}))
}

// RepeatHead has a row of a sheet printed at the top of every page. It comes
// before the first [File.Name].
func (f *File) RepeatHead(sheet string, row int) error {
	at := fmt.Sprintf("!$%d:$%d", row, row)
	return f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", RefersTo: quoted(sheet) + at, Scope: sheet})
}

// Name names cells of a sheet, given as $B$4 or $B$4:$B$9, for the whole
// workbook. It appends to the list the library keeps: the library's own method
// walks the list for each name, which at ten thousand names is fifty million
// comparisons, and who names makes them unique.
func (f *File) Name(name, sheet, cells string) {
	list := f.WorkBook.DefinedNames
	one := list.DefinedName[0] // the type has no name outside the library
	one.Name, one.Data, one.LocalSheetID = name, quoted(sheet)+"!"+cells, nil
	list.DefinedName = append(list.DefinedName, one)
}

func quoted(sheet string) string { return "'" + strings.ReplaceAll(sheet, "'", "''") + "'" }
