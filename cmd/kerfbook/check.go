package main

import (
	"context"
	"fmt"

	"kerfbook/api/store"
	"kerfbook/costing/book"
)

// runCheck names every fault of a book with its line, or says that there is
// none.
func runCheck(ctx context.Context, c *call) error {
	c.dataInstead()
	args, err := c.parseBook(1, "BOOK", 0)
	if err != nil {
		return err
	}
	day, err := c.date()
	if err != nil {
		return err
	}
	var b *book.Book
	if c.stored() {
		faults := 0
		if b, faults, err = c.storedBook(ctx, day); err == nil && faults > 0 {
			err = fmt.Errorf("%s: %s", store.Name(*c.data), count(faults, "fault"))
		}
	} else {
		b, err = c.book(args[0], day)
	}
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(c.stdout, "%s: no faults on %s (%s)\n", b.Name, day, contents(b))
	return err
}

func contents(b *book.Book) string {
	return fmt.Sprintf("%s, %s, %s, %s", count(len(b.Parts), "part"), count(len(b.Offers), "offer"),
		count(len(b.Products), "product"), count(len(b.Destinations), "destination"))
}
