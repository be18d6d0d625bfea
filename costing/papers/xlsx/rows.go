package xlsx

import (
	"cmp"
	"strconv"
	"unicode/utf8"

	"github.com/shopspring/decimal"
	"github.com/xuri/excelize/v2"
)

// Lines is the height of a row with lines of text, in points. Not every program
// lets a row grow by itself.
func Lines(n int) float64 { return 13.5 * float64(n) }

// LinesIn counts the lines a text takes in a column of a width.
func LinesIn(width float64, text string) int {
	perLine := int(1.3 * width) // the widths are those of digits in a larger type
	return 1 + (utf8.RuneCountInString(text)-1)/perLine
}

// Rows writes a sheet from top to bottom and keeps the first error, which Close
// gives. What the library writes behind the rows (protection, validation, page
// setup) is set before they begin, or it is lost.
type Rows struct {
	*excelize.StreamWriter
	Last  int // the row written last
	Level int // of the outline, of the rows written next
	f     *File
	err   error
}

// Rows begins the rows of a sheet whose columns have widths, in characters.
func (f *File) Rows(sheet string, widths ...float64) (*Rows, error) {
	stream, err := f.NewStreamWriter(sheet)
	for i := len(widths); i > 0 && err == nil; i-- { // the library puts the last one first
		err = stream.SetColWidth(i, i, widths[i-1])
	}
	return &Rows{StreamWriter: stream, f: f}, err
}

// Cell makes a cell that holds a number or a text; an empty text makes none.
func (r *Rows) Cell(s Style, value any) excelize.Cell {
	if value == "" {
		return excelize.Cell{}
	}
	return r.Formula(s, "", value)
}

// Formula makes a cell with a formula and its last value; with an empty formula,
// one that holds the value.
func (r *Rows) Formula(s Style, formula string, value any) excelize.Cell {
	id, err := r.f.style(s)
	r.err = cmp.Or(r.err, err)
	return excelize.Cell{StyleID: id, Formula: formula, Value: value}
}

// Put writes the next row.
func (r *Rows) Put(height float64, cells ...any) {
	r.Last++
	if r.err == nil {
		r.err = r.SetRow("A"+strconv.Itoa(r.Last), cells, excelize.RowOpts{Height: height, OutlineLevel: r.Level})
	}
}

// Merge makes one cell of those of the row written last, as far as a column.
func (r *Rows) Merge(columns int) {
	row := strconv.Itoa(r.Last)
	last, err := excelize.ColumnNumberToName(columns)
	r.err = cmp.Or(r.err, err, r.MergeCell("A"+row, last+row))
}

// Close ends the sheet.
func (r *Rows) Close() error { return cmp.Or(r.err, r.Flush()) }

// Number gives the binary number whose shortest decimal text is d, at most the
// 15 digits of it that spreadsheet programs keep; that text is what stands in
// the file. A number computed in binary would bring 11.149999999999999 where
// 11.15 was typed.
func Number(d decimal.Decimal) float64 {
	if spare := d.NumDigits() - 15; spare > 0 {
		d = d.Round(-d.Exponent() - int32(spare))
	}
	f, err := strconv.ParseFloat(d.String(), 64)
	if err != nil {
		return 0 // beyond 10^308; nodes end at 10^60
	}
	return f
}
