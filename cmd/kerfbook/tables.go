package main

import (
	"context"
	"fmt"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/service"
	"kerfbook/api/store"
	"kerfbook/costing/book/rows"
	"kerfbook/costing/papers/table"
)

// runImport takes a table into a book. Of a file the book is written with it, and the file
// is not touched; in a database it is the next revision of the records it changes.
func runImport(c *call) action {
	c.dataInstead()
	out := c.flags.StringP("output", "o", "", "file for the book with the table taken in, which must not exist (default: standard output)")
	reason := c.flags.String("reason", "", "why, in one line; kept with the change of a database")
	preview := c.flags.Bool("preview", false, "say what the table would do, and write nothing")
	return func(ctx context.Context, args []string) error {
		of, err := change.TableNamed(args[1])
		if err != nil {
			of = change.OperationsOf(args[1])
		}
		if c.stored() {
			if *out != "" {
				return usagef("import: -o writes a file, and --data changes a database; give one of them")
			}
			return c.importStored(ctx, of, args[2], *reason, *preview)
		}
		if args[0] == "-" && args[2] == "-" {
			return usagef("import: only one of the two can come from standard input")
		}
		o, _, err := c.open(args[0])
		if err != nil {
			return err
		}
		written, err := c.text(args[2])
		if err != nil {
			return err
		}
		held, err := change.ShelfOf(o.Book, c.book)
		if err != nil {
			return err
		}
		done, err := held.Tabled(of, written)
		if err != nil {
			return c.refused(args[2], err, inTable)
		}
		c.tabled(args[2], done)
		data, err := done.Next.Text()
		switch {
		case err != nil || *preview:
			return err
		case *out != "":
			return writeNew(*out, data)
		}
		_, err = c.stdout.Write(data)
		return err
	}
}

// importStored takes a table into the book of a database.
func (c *call) importStored(ctx context.Context, of change.TableOf, file, reason string, preview bool) error {
	written, err := c.text(file)
	if err != nil {
		return err
	}
	return c.onData(ctx, func() (string, error) { return *c.data, nil }, func(_ *store.Store, svc *service.Service) error {
		done, err := svc.PreviewTable(ctx, of, written)
		if err == nil && !preview {
			a := maker()
			a.Reason = reason
			done, err = svc.ImportTable(ctx, a, of, written, done.Version)
		}
		if err != nil {
			return c.refused(file, err, inTable)
		}
		c.tabled(file, done)
		return nil
	})
}

// inTable tells a fault of a table with its line and column.
func inTable(f answer.FieldError) string {
	return rows.Error{Line: f.Line, Column: f.Column, Header: f.Path, Message: f.Message}.Error()
}

// tabled says on standard error what a table does.
func (c *call) tabled(file string, done change.TableImport) {
	for _, r := range done.Records {
		fmt.Fprintf(c.stderr, "%s %s/%s\n", r.Did, r.Kind, r.ID)
		for _, f := range r.Fields {
			if r.Did == "changed" {
				fmt.Fprintf(c.stderr, "  %s: %s → %s\n", f.Path, orNothing(f.Before), orNothing(f.After))
			}
		}
	}
	fmt.Fprintf(c.stderr, "%s as before\n", count(done.Same, "record"))
	for _, f := range done.Lacking {
		fmt.Fprintf(c.stderr, "%s: %s; no figure that rests on it is given\n", file, inTable(f))
	}
}

func orNothing(text string) string {
	if text == "" {
		return "nothing"
	}
	return text
}

// tableText writes a table of a book: the operations of a part, or the records of a kind.
func tableText(o answer.Origin, part, kind string, profile table.Profile) ([]byte, error) {
	of, err := change.OperationsOf(part), error(nil)
	if part == "" {
		of, err = change.TableNamed(kind)
	}
	if err != nil {
		return nil, usagef("export: %v; --kind names one, and --part the part whose operations are meant", err)
	}
	held, err := change.ShelfOf(o.Book, nil)
	if err != nil {
		return nil, err
	}
	data, _, err := held.Table(of, profile)
	return data, err
}
