package main

import (
	"context"
	"strings"

	"kerfbook/api/answer"
)

// runHours says what an hour of each wage of a book comes to.
func runHours(c *call) action {
	asJSON := c.flags.Bool("json", false, "write JSON")
	return func(_ context.Context, args []string) error {
		o, _, err := c.open(args[0])
		if err != nil {
			return err
		}
		hours, err := answer.WageHours(o.Book.Wages, o.Book.Currency)
		if err != nil {
			return err
		}
		if *asJSON {
			return c.json(hours)
		}
		t := &tableWriter{w: c.stdout}
		for _, h := range hours {
			t.line("%s: %s, from %s a year; at half the hours %s", h.Hour.Of, amount(h.Hour), amount(h.CostPerYear), amount(h.AtHalf))
			if len(h.Hour.Without) > 0 {
				t.line("  without: %s", strings.Join(h.Hour.Without, ", "))
			}
		}
		if len(hours) == 0 {
			t.line("The book has no wages.")
		}
		return t.err
	}
}
