package main

import (
	"context"
	"fmt"

	"kerfbook/api/answer"
	"kerfbook/api/store"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/check"
)

// checkOut is what check finds, for programs.
type checkOut struct {
	Book       string              `json:"book,omitempty"`
	Day        bom.Date            `json:"day,omitempty"`
	Problems   []problemOut        `json:"problems"`
	NotCounted []answer.NotCounted `json:"not_counted"`
}

// problemOut is something wrong with a book, missing in it or to be looked at.
type problemOut struct {
	Severity check.Severity `json:"severity"` // error, gap or warning
	Line     int            `json:"line,omitempty"`
	Column   int            `json:"column,omitempty"`
	Path     string         `json:"path,omitempty"`
	Message  string         `json:"message"`
}

// collected takes a problem in where they are collected.
func (c *call) collected(p check.Problem) bool {
	if c.problems == nil {
		return false
	}
	*c.problems = append(*c.problems, problemOut{p.Severity, p.Line, p.Column, p.Path, p.Message})
	return true
}

// runCheck names every fault of a book with its line, or says that there is
// none.
func runCheck(c *call) action {
	c.dataInstead()
	asJSON := c.flags.Bool("json", false, "write JSON: every problem with its place")
	return func(ctx context.Context, args []string) error {
		out := checkOut{Problems: []problemOut{}, NotCounted: []answer.NotCounted{}}
		if *asJSON {
			c.problems = &out.Problems
		}
		o, day, err := c.checked(ctx, args[0])
		if o.Book != nil {
			out.Book, out.Day, out.NotCounted = o.Book.Name, day, append(out.NotCounted, answer.NotCountedAnywhere(o.Book, day)...)
		}
		if *asJSON && (err == nil || len(out.Problems) > 0) {
			if failed := c.json(out); failed != nil {
				return failed
			}
		}
		if err != nil {
			return err
		}
		if !*asJSON {
			err = c.clean(o.Book, day, out.NotCounted)
		}
		if err == nil && c.gaps > 0 {
			return &gapsError{c.gaps}
		}
		return err
	}
}

// checked opens the book of a file or a database and tells what is wrong with it.
func (c *call) checked(ctx context.Context, name string) (answer.Origin, bom.Date, error) {
	if !c.stored() {
		return c.open(name)
	}
	o, day, faults, err := c.storedBook(ctx)
	if err == nil && faults > 0 {
		err = fmt.Errorf("%s: %s", store.Name(*c.data), count(faults, "fault"))
	}
	return o, day, err
}

// clean says that a book has no faults, and what it leaves out.
func (c *call) clean(b *book.Book, day bom.Date, omitted []answer.NotCounted) error {
	if b.TimeZone == "" && c.day == "" {
		fmt.Fprintln(c.stderr, "note: today is the day by UTC, since the book names no time_zone such as Europe/Lisbon")
	}
	t := tableWriter{w: c.stdout}
	found := "no faults"
	if c.gaps > 0 {
		found = "no faults, and " + (&gapsError{c.gaps}).Error() + ","
	}
	t.line("%s: %s on %s (%s)", b.Name, found, day, contents(b))
	t.notCounted(omitted)
	return t.err
}

func contents(b *book.Book) string {
	return fmt.Sprintf("%s, %s, %s, %s", count(len(b.Parts), "part"), count(len(b.Offers), "offer"),
		count(len(b.Products), "product"), count(len(b.Destinations), "destination"))
}
