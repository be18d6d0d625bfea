package main

import (
	"cmp"
	"context"

	"kerfbook/api/answer"
)

// runHours says what an hour of each wage of a book comes to; opening it tells what is missing.
func runHours(c *call) action {
	return func(_ context.Context, args []string) error {
		o, _, err := c.open(args[0])
		if err != nil {
			return err
		}
		hours, err := answer.WageHours(o.Book.Wages, o.Book.Currency)
		t := &tableWriter{w: c.stdout}
		for _, h := range hours {
			t.line("%s: %s, from %s a year; at half the hours %s", h.Hour.Of, amount(h.Hour), amount(h.CostPerYear), amount(h.AtHalf))
		}
		return cmp.Or(err, t.err)
	}
}
