package main

import (
	"context"
	"fmt"

	"kerfbook/api/answer/change"
	"kerfbook/api/service"
	"kerfbook/api/store"
	"kerfbook/bom"
	"kerfbook/costing/book"
)

// runStarter takes what ships with the program into the book of a database, or lists it.
func runStarter(c *call) action {
	data := c.dataFlag()
	preview := c.flags.Bool("preview", false, "say what would be taken, and write nothing")
	return func(ctx context.Context, args []string) error {
		if args[0] == "list" {
			return c.listStarters()
		}
		return c.onData(ctx, data, func(_ *store.Store, svc *service.Service) error {
			b, _, err := svc.Book(ctx)
			if err != nil {
				return err
			}
			taken, err := change.Take(b, bom.ID(args[0]))
			if err != nil {
				return err
			}
			for _, id := range taken.Kept {
				fmt.Fprintf(c.stdout, "%s is in the book and stays as it is\n", id)
			}
			for _, where := range taken.Open {
				fmt.Fprintf(c.stdout, "%s leaves its tools open and may take one of these; its cost may change\n", where)
			}
			if len(taken.Tools) > 0 {
				fmt.Fprintln(c.stdout, "what an edge costs is not known; until it is entered, wear is listed as not counted")
			}
			if taken.Setup != nil || len(taken.Stocks) > 0 {
				fmt.Fprintf(c.stdout, "it is taken over in a form, from the page /book/%s/starters; its fields are in GET /api/v1/starters\n", taken.Kind())
			}
			if len(taken.Drafts) == 0 || *preview {
				_, err = fmt.Fprintln(c.stdout, "nothing was written")
				return err
			}
			done, err := svc.Save(ctx, maker(), taken.Drafts)
			for _, r := range done.Records {
				fmt.Fprintf(c.stdout, "saved %s/%s\n", r.Kind, r.ID)
			}
			return err
		})
	}
}

func (c *call) listStarters() error {
	all, err := change.Takings(&book.Book{})
	if err != nil {
		return err
	}
	for _, s := range all {
		fmt.Fprintf(c.stdout, "%-20s  %s (looked at %s)\n", s.ID, s.Name, s.CheckedOn)
	}
	return nil
}
