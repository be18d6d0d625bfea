package main

import (
	"context"
	"fmt"

	"kerfbook/costing/book"
)

// runCheck names every fault of a book with its line, or says that there is
// none.
func runCheck(_ context.Context, c *call) error {
	args, err := c.parse(1, "BOOK")
	if err != nil {
		return err
	}
	day, err := c.date()
	if err != nil {
		return err
	}
	b, err := c.book(args[0], day)
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
