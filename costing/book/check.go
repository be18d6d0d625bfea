package book

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/rates"
	"kerfbook/costing/text"
)

// Severity says what a problem means for the figures.
type Severity string

// The severities.
const (
	Fault   Severity = "error"   // nothing can be computed
	Gap     Severity = "gap"     // something is missing, and what rests on it is not given as if it were not
	Warning Severity = "warning" // figures are right, but look at this
)

// Problem is one thing that does not fit together in a book, at the line of the
// value that is at fault. Line and Column are 0 if the book was not read from
// text.
type Problem struct {
	Severity     Severity
	Line, Column int
	Path         string
	Message      string
}

func (p Problem) Error() string {
	written := p.Message
	if p.Path != "" {
		written = p.Path + ": " + written
	}
	if p.Severity != Fault {
		written = string(p.Severity) + ": " + written
	}
	if p.Line == 0 {
		return written
	}
	return fmt.Sprintf("line %d, column %d: %s", p.Line, p.Column, written)
}

// Check holds the records of a book against one another and gives all problems,
// in the order of the text. Places are those Parse gave, nil for a book that was
// not read from text. What depends on the day (rate card, exchange rates, offers
// that expire) is checked for the given day, and left out if it is empty.
func Check(b *Book, places text.Places, day bom.Date) []Problem {
	c := &checker{book: b, places: places, day: day}
	c.version()
	c.problems = append(c.problems, b.UnreadProblems()...)
	c.index()
	c.rateCards()
	c.currencies()
	c.stocks()
	c.cutting()
	c.offers()
	c.processes()
	c.workCentres()
	c.finishes()
	c.work()
	c.parts()
	c.sharedStocks()
	c.containment()
	c.products()
	c.channels()
	c.prices()
	c.carriers()
	c.destinations()
	c.baskets()
	c.overrides()
	c.countedTwice()
	for _, path := range text.Missing(c.book) {
		c.gap(path, "%s is missing; add this field", path[strings.LastIndexByte(path, '.')+1:])
	}
	slices.SortStableFunc(c.problems, func(p, q Problem) int {
		return cmp.Or(cmp.Compare(p.Line, q.Line), cmp.Compare(p.Column, q.Column))
	})
	return c.problems
}

// HasFault reports whether any problem stops the figures.
func HasFault(problems []Problem) bool {
	return slices.ContainsFunc(problems, func(p Problem) bool { return p.Severity == Fault })
}

// checker carries what one check finds.
type checker struct {
	book     *Book
	places   text.Places
	day      bom.Date
	known    indexes
	data     rates.CuttingTables
	problems []Problem
}

// indexes hold where in its list each record is.
type indexes struct {
	centres, materials, suppliers, stocks, tools, processes, parts, products, channels map[bom.ID]int
}

func (c *checker) fail(path, format string, args ...any) {
	c.add(Fault, path, fmt.Sprintf(format, args...))
}

func (c *checker) gap(path, format string, args ...any) {
	c.add(Gap, path, fmt.Sprintf(format, args...))
}

func (c *checker) warn(path, format string, args ...any) {
	c.add(Warning, path, fmt.Sprintf(format, args...))
}

func (c *checker) add(severity Severity, path, message string) {
	at := c.places.Of(path)
	c.problems = append(c.problems, Problem{severity, at.Line, at.Column, path, message})
}

func (c *checker) version() {
	if c.book.Version != Version {
		c.fail("kerfbook", "%s", versionMessage(c.book.Version))
	}
}

// entry gives the path of a field of an entry of a list.
func entry(list string, i int, field string) string {
	return text.Field(text.Index(list, i), field)
}
