package xlsx

import (
	"bytes"
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
	Foot           string // at the left of the foot of every page; "" for the name of the sheet
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
	foot   string
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
	f := &File{File: excelize.NewFile(), at: at, foot: "&L&A&R&P / &N", styles: map[Style]int{}}
	if p.Foot != "" {
		const most = 150 // characters; with the rest a foot takes 255
		text := []rune(p.Foot)
		f.foot = "&L" + strings.ReplaceAll(string(text[:min(len(text), most)]), "&", "&&") + "&R&A, &P / &N"
	}
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
	f.SetZipWriter(func(w io.Writer) excelize.ZipWriter {
		return &sortedZip{to: w, at: f.at, entries: map[string]*bytes.Buffer{}}
	})
	_, err := f.WriteTo(w)
	return err
}

// Paper is how a sheet is printed, on A4, always one page wide.
type Paper struct {
	Portrait bool
	OnePage  bool // all of it, however small
}

// AddSheet adds a sheet, protects it without a password and sets up its pages.
func (f *File) AddSheet(name string, paper Paper) error {
	if f.begun {
		if _, err := f.NewSheet(name); err != nil {
			return err
		}
	} else if err := f.SetSheetName("Sheet1", name); err != nil {
		return err
	}
	f.begun = true
	lies, wide, tall, fit, a4 := "landscape", 1, 0, true, 9
	if paper.Portrait {
		lies = "portrait"
	}
	if paper.OnePage {
		tall = 1
	}
	side, end := 0.4, 0.6 // inches
	var below bool        // what an outline folds stands below the row it belongs to
	return cmp.Or(
		f.SetSheetProps(name, &excelize.SheetPropsOptions{FitToPage: &fit, OutlineSummaryBelow: &below}),
		f.SetPageLayout(name, &excelize.PageLayoutOptions{Orientation: &lies, Size: &a4, FitToWidth: &wide, FitToHeight: &tall}),
		f.SetPageMargins(name, &excelize.PageLayoutMarginsOptions{Left: &side, Right: &side, Top: &end, Bottom: &end}),
		f.SetHeaderFooter(name, &excelize.HeaderFooterOptions{OddFooter: f.foot}),
		f.ProtectSheet(name, &excelize.SheetProtectionOptions{SelectLockedCells: true,
			SelectUnlockedCells: true, FormatColumns: true, FormatRows: true}))
}

// RepeatHead has rows of a sheet printed at the top of every page. It comes before
// the first [File.Name].
func (f *File) RepeatHead(sheet string, from, to int) error {
	return f.scoped("Print_Titles", sheet, fmt.Sprintf("$%d:$%d", from, to))
}

// PrintOnly has the cells of a sheet printed, given as $A$1:$F$9, and no others. It
// comes before the first [File.Name].
func (f *File) PrintOnly(sheet, cells string) error { return f.scoped("Print_Area", sheet, cells) }

func (f *File) scoped(name, sheet, cells string) error {
	return f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm." + name, RefersTo: quoted(sheet) + "!" + cells, Scope: sheet})
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
