package check

import (
	"fmt"

	"kerfbook/bom"
	"kerfbook/costing/book"
)

// overrides checks that no figure has two numbers from the same day. Whether a
// figure of the key exists is seen only when an estimate is built.
func (c *checker) overrides() {
	for i, o := range c.book.Overrides {
		if o.Until != "" && o.Until < o.From {
			c.fail(entry("overrides", i, "until"), "ends on %s, before it begins on %s", o.Until, o.From)
		}
	}
	type start struct {
		figure book.FigureKey
		from   bom.Date
	}
	for i, first := range repeats(c.book.Overrides, func(o book.Override) start { return start{o.Figure, o.From} }) {
		o := c.book.Overrides[i]
		c.fail(entry("overrides", i, "figure"), "%s has another number from %s; %s", o.Figure, o.From, c.firstUse(entry("overrides", first, "figure")))
	}
}

// UnusedOverride is the warning about the override at a place of the list whose
// figure no estimate has.
func UnusedOverride(b *book.Book, i int, hint string) Problem {
	return Problem{Severity: Warning, Path: entry("overrides", i, "figure"), Message: fmt.Sprintf(
		"no trim has a computed figure with the key %s, so this override is not used%s", b.Overrides[i].Figure, hint)}
}
