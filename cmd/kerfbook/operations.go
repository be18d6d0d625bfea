package main

import (
	"context"
	"fmt"
	"slices"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/service"
	"kerfbook/api/store"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/worktable"
	"kerfbook/costing/papers/table"
	"kerfbook/costing/text"
)

// runImportOperations takes a table of operations and features into a part of a
// book, and prints the part. A file is not touched, -o writes a new one; in a
// database it is the next revision of the part.
func runImportOperations(c *call) action {
	c.dataInstead()
	out := c.flags.StringP("output", "o", "", "file for the book with the part changed, which must not exist (default: the part alone, on standard output)")
	return func(ctx context.Context, args []string) error {
		if c.stored() {
			return c.importStored(ctx, args[1], args[2], *out)
		}
		if args[0] == "-" && args[2] == "-" {
			return usagef("import: only one of the two can come from standard input")
		}
		o, _, err := c.open(args[0])
		if err != nil {
			return err
		}
		text, err := c.text(args[2])
		if err != nil {
			return err
		}
		done, err := change.TableOperations(o.Book, args[1], text)
		if err != nil {
			return c.refused(args[2], err, inTable)
		}
		c.differences(done)
		if *out == "" {
			_, err = c.stdout.Write(done.Record)
			return err
		}
		data, err := c.withPart(o.Book, done)
		if err != nil {
			return err
		}
		return writeNew(*out, data)
	}
}

// importStored takes a table into a part of the book of a database.
func (c *call) importStored(ctx context.Context, part, file, out string) error {
	if out != "" {
		return usagef("import: -o writes a file, and --data changes a database; give one of them")
	}
	text, err := c.text(file)
	if err != nil {
		return err
	}
	return c.onData(ctx, func() (string, error) { return *c.data, nil }, func(_ *store.Store, svc *service.Service) error {
		_, version, err := svc.PartOperations(ctx, part, table.Data)
		if err != nil {
			return err
		}
		done, err := svc.ImportOperations(ctx, maker(), part, text, version)
		if err != nil {
			return c.refused(file, err, inTable)
		}
		c.differences(done)
		_, err = c.stdout.Write(done.Record)
		return err
	})
}

// withPart writes the book that was opened with a part changed.
func (c *call) withPart(b *book.Book, done change.OperationsImport) ([]byte, error) {
	p, err := change.PartOf(done.Record)
	if err != nil {
		return nil, err
	}
	changed := *b
	changed.Parts = slices.Clone(b.Parts)
	for i := range changed.Parts {
		if changed.Parts[i].Number == p.Number {
			changed.Parts[i] = p
		}
	}
	return text.Revise(c.book, &changed)
}

// inTable tells a fault of a table with its line and column.
func inTable(f answer.FieldError) string {
	return worktable.Error{Line: f.Line, Column: f.Column, Header: f.Path, Message: f.Message}.Error()
}

// differences says on standard error what the table does.
func (c *call) differences(done change.OperationsImport) {
	for _, g := range []struct {
		word string
		rows []worktable.Difference
	}{{"adds", done.Added}, {"changes", done.Changed}, {"takes away", done.Removed}} {
		for _, d := range g.rows {
			fmt.Fprintf(c.stderr, "%s %s\n", g.word, d.Name)
			for _, f := range d.Fields {
				if g.word == "changes" {
					fmt.Fprintf(c.stderr, "  %s: %s → %s\n", f.Column, orNothing(f.Before), orNothing(f.After))
				}
			}
		}
	}
	fmt.Fprintf(c.stderr, "%s as before\n", count(done.Same, "row"))
}

func orNothing(text string) string {
	if text == "" {
		return "nothing"
	}
	return text
}

// operationsOf writes the table of a part of a book.
func operationsOf(b *book.Book, part string, profile table.Profile) ([]byte, error) {
	p, _ := b.Part(bom.ID(part))
	if p == nil {
		return nil, usagef("--part: the book has no part %q", part)
	}
	return change.OperationsCSV(p, profile)
}
