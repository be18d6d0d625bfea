// Package check holds the records of a book against one another: what is wrong, what is
// missing, and what to look at, each with its place.
package check

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/book"
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

// Book holds the records of a book against one another and gives all problems,
// in the order of the text. Places are those Parse gave, nil for a book that was
// not read from text. What depends on the day (rate card, exchange rates, offers
// that expire) is checked for the given day, and left out if it is empty.
func Book(b *book.Book, places text.Places, day bom.Date) []Problem {
	c := &checker{book: b, places: places, day: day, numbered: bom.PartsByNumber(b.Parts)}
	c.version()
	c.problems = append(c.problems, Unread(b)...)
	c.index()
	c.rateCards()
	c.currencies()
	c.stocks()
	c.cutting()
	c.metalPrices()
	c.offers()
	c.processes()
	c.wages()
	c.workCentres()
	c.finishes()
	c.work()
	c.parts()
	c.sharedStocks()
	c.containment()
	c.products()
	c.channels()
	c.prices()
	c.priceDraws()
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
	book     *book.Book
	places   text.Places
	day      bom.Date
	known    map[string]map[bom.ID]int // by kind and name, where in its list a record is
	numbered map[bom.ID]*bom.Part
	data     rates.CuttingTables
	problems []Problem
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
	if c.book.Version != book.Version {
		c.fail("kerfbook", "%s", book.VersionMessage(c.book.Version))
	}
}

// entry gives the path of a field of an entry of a list.
func entry(list string, i int, field string) string {
	return text.Field(text.Index(list, i), field)
}

// Unread words the records of a book that cannot be read, in order. They have no place
// in the book but their list.
func Unread(b *book.Book) []Problem {
	var out []Problem
	for _, name := range slices.Sorted(maps.Keys(b.Unread)) {
		list, _, _ := strings.Cut(name, " ")
		out = append(out, Problem{Severity: Fault, Path: list, Message: name + " cannot be read by this program and takes no part in any figure until it is put right, replaced or removed: " + b.Unread[name]})
	}
	return out
}

// countedTwice warns of an answer that a figure contradicts.
func (c *checker) countedTwice() {
	c.book.CountedTwice(c.day, func(o book.Omission, by string) {
		of := ""
		if o.Of != "" {
			of = " of " + o.Of
		}
		c.warn(o.Path, "%s%s: a figure is entered, and %s says it is in the hour rate or an overhead; it is counted twice: delete one of them", o.What.Noun(), of, by)
	})
}
