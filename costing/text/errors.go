package text

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// MaxListed is the most errors that are listed one by one.
const MaxListed = 100

// maxCollected stops reading a text in which nearly everything is wrong.
const maxCollected = 1000

// Error is one thing wrong with a text and its place. Lines and columns count
// from 1, columns in characters; Path is empty for the whole text.
type Error struct {
	Line, Column int
	Path         string
	Message      string
}

func (e Error) Error() string {
	place := fmt.Sprintf("line %d, column %d: ", e.Line, e.Column)
	if e.Path == "" {
		return place + e.Message
	}
	return place + e.Path + ": " + e.Message
}

// Errors is all that is wrong with a text, in the order of the text.
type Errors struct {
	List []Error // at most MaxListed
	More int     // how many were found and are not listed
}

func (e *Errors) Error() string {
	lines := make([]string, 0, len(e.List)+1)
	for _, one := range e.List {
		lines = append(lines, one.Error())
	}
	if e.More > 0 {
		lines = append(lines, fmt.Sprintf("and at least %d more", e.More))
	}
	return strings.Join(lines, "\n")
}

// NewErrors sorts errors by place and keeps the first MaxListed; it gives nil
// for none.
func NewErrors(list []Error) *Errors {
	if len(list) == 0 {
		return nil
	}
	sorted := slices.Clone(list)
	slices.SortStableFunc(sorted, func(a, b Error) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	kept := min(len(sorted), MaxListed)
	return &Errors{List: sorted[:kept:kept], More: len(sorted) - kept}
}
