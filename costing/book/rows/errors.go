package rows

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"kerfbook/costing/text"
)

// Error is one thing wrong with a table. Lines count those of the file from 1,
// columns the cells of a row; Header names the column, and is empty for a row or
// the file as a whole.
type Error struct {
	Line, Column int
	Header       string
	Message      string
}

func (e Error) Error() string {
	place := fmt.Sprintf("line %d", e.Line)
	if e.Header != "" {
		place += fmt.Sprintf(", column %d (%s)", e.Column, e.Header)
	}
	if e.Line == 0 {
		return e.Message
	}
	return place + ": " + e.Message
}

// Errors is all that is wrong with a table, in its order.
type Errors struct {
	List []Error // at most text.MaxListed
	More int     // how many are not listed
}

func (e *Errors) Error() string {
	var lines []string
	for _, one := range e.List {
		lines = append(lines, one.Error())
	}
	if e.More > 0 {
		lines = append(lines, fmt.Sprintf("and %d more", e.More))
	}
	return strings.Join(lines, "\n")
}

// errorsOf sorts errors by place, and counts more; nil for none.
func errorsOf(list []Error, more int) error {
	if len(list) == 0 {
		return nil
	}
	slices.SortStableFunc(list, func(a, b Error) int { return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column)) })
	kept := min(len(list), text.MaxListed)
	return &Errors{list[:kept:kept], len(list) - kept + more}
}
