package worktable

import (
	"fmt"
	"regexp"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/text"
)

// mark is the decimal mark of the numbers of a file.
type mark string

const (
	point mark = "."
	comma mark = ","
)

var (
	decimalComma = regexp.MustCompile(`^-?[0-9]+,[0-9]+(?: [a-z]+)?$|^[0-9.,]+ normal [0-9]+,[0-9]+$`)
	// thousands may be parted by what stands before the last three figures.
	thousands = regexp.MustCompile(`^-?[1-9][0-9]{0,2}[.,][0-9]{3}$`)
)

// markOf finds the mark of a file: the comma where it stands in some number that it
// cannot part the thousands of, or in a file that does not separate fields with it, as
// spreadsheets write who have a decimal comma.
func markOf(s Sheet) mark {
	for _, r := range s.Rows {
		for _, cell := range r.Cells {
			for end := range strings.SplitSeq(cell, between) {
				if decimalComma.MatchString(end) && (s.separator != ',' || !thousands.MatchString(end)) {
					return comma
				}
			}
		}
	}
	return point
}

// decimal reads a number with either mark. One that could be another number with its
// thousands parted is read with the mark of the file alone.
func (m mark) decimal(figures string) (decimal.Decimal, error) {
	if thousands.MatchString(figures) && !strings.Contains(figures, string(m)) {
		return decimal.Decimal{}, fmt.Errorf("%q could be %s or %s; write the one you mean", figures,
			strings.NewReplacer(".", "", ",", "").Replace(figures), strings.NewReplacer(".", string(m), ",", string(m)).Replace(figures))
	}
	if !strings.Contains(figures, ".") {
		figures = strings.Replace(figures, ",", ".", 1)
	}
	return bom.ParseDecimal(figures)
}

func (m mark) digits(d decimal.Decimal) string {
	return strings.Replace(text.Digits(d), ".", string(m), 1)
}
