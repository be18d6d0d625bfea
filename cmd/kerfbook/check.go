package main

import (
	"context"
	"fmt"

	"kerfbook/api/answer"
	"kerfbook/api/store"
	"kerfbook/bom"
	"kerfbook/costing/book"
)

// runCheck names every fault of a book with its line, or says that there is
// none.
func runCheck(c *call) action {
	c.dataInstead()
	return func(ctx context.Context, args []string) error {
		var o answer.Origin
		var day bom.Date
		var err error
		if c.stored() {
			faults := 0
			if o, day, faults, err = c.storedBook(ctx); err == nil && faults > 0 {
				err = fmt.Errorf("%s: %s", store.Name(*c.data), count(faults, "fault"))
			}
		} else {
			o, day, err = c.open(args[0])
		}
		if err != nil {
			return err
		}
		b := o.Book
		if b.TimeZone == "" && c.day == "" {
			fmt.Fprintln(c.stderr, "note: today is the day by UTC, since the book names no time_zone such as Europe/Lisbon")
		}
		t := tableWriter{w: c.stdout}
		found := "no faults"
		if c.gaps > 0 {
			found = "no faults, and " + (&gapsError{c.gaps}).Error() + ","
		}
		t.line("%s: %s on %s (%s)", b.Name, found, day, contents(b))
		t.notCounted(answer.NotCountedAnywhere(b, day))
		if t.err == nil && c.gaps > 0 {
			return &gapsError{c.gaps}
		}
		return t.err
	}
}

func contents(b *book.Book) string {
	return fmt.Sprintf("%s, %s, %s, %s", count(len(b.Parts), "part"), count(len(b.Offers), "offer"),
		count(len(b.Products), "product"), count(len(b.Destinations), "destination"))
}
