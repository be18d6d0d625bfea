package main

import (
	"bytes"
	"context"
	"os"

	"kerfbook/api/answer"
	"kerfbook/api/service"
	"kerfbook/api/store"
	"kerfbook/bom"
	"kerfbook/costing/papers/table"
)

// runExport writes a book, a cost workbook, or a CSV of figures, of a part or of a kind of record.
func runExport(c *call) action {
	c.dataInstead()
	mixText := c.flags.String("mix", "", "the batch of the workbook or CSV (default: 100 of every trim in one batch)")
	out := c.flags.StringP("output", "o", "", "file to write, which must not exist (default: standard output)")
	plain := c.flags.Bool("plain", false, "write a CSV as plain data for programs: no byte order mark, nothing guarded against being run as a formula")
	separator := c.flags.String("csv-separator", ",", "what separates the fields of a CSV: , ; or tab")
	decimals := c.flags.String("csv-decimal", ".", "decimal mark of a CSV: . or ,")
	part := c.flags.String("part", "", "of operations: the part whose operations and features are written as CSV")
	kind := c.flags.String("kind", "", "of records: the list of the book that is written as CSV, such as offers, or one of its rules, such as rules.tariff")
	return func(ctx context.Context, args []string) error {
		o, day, err := c.openAny(ctx, args[1])
		if err != nil {
			return err
		}
		profile := table.Spreadsheet
		if *plain {
			profile = table.Data
		}
		if profile, err = profile.Marked(*separator, *decimals); err != nil {
			return usagef("export: %v", err)
		}
		var data []byte
		switch args[0] {
		case "book":
			data, err = c.bookText(ctx)
		case "workbook", "csv":
			mix, mixErr := mixOf(o.Book, *mixText)
			if mixErr != nil {
				return mixErr
			}
			if args[0] == "workbook" {
				data, err = o.CostWorkbook(ctx, mix, day)
				break
			}
			data, err = o.FiguresCSV(ctx, mix, day, profile)
		case "operations", "records":
			data, err = tableText(o, *part, *kind, profile)
		default:
			return usagef("export %q: there is book, workbook, csv, operations and records", args[0])
		}
		if err != nil {
			return err
		}
		if *out != "" {
			return writeNew(*out, data)
		}
		_, err = c.stdout.Write(data)
		return err
	}
}

// openAny opens a book of a file or a database. What is wrong with a stored one is
// said and stops nothing but the figures that rest on it.
func (c *call) openAny(ctx context.Context, name string) (answer.Origin, bom.Date, error) {
	if !c.stored() {
		return c.open(name)
	}
	o, day, _, err := c.storedBook(ctx)
	return o, day, err
}

// bookText gives the book as its authors wrote it.
func (c *call) bookText(ctx context.Context) (written []byte, err error) {
	if !c.stored() {
		return c.book, nil
	}
	err = c.onLook(ctx, *c.data, func(_ *store.Store, svc *service.Service) (err error) {
		written, _, err = svc.ExportBook(ctx)
		return err
	})
	return written, err
}

// writeNew writes a file that must not exist, so that nothing is lost.
func writeNew(name string, data []byte) error {
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	if _, err := bytes.NewReader(data).WriteTo(f); err != nil {
		f.Close()
		return err
	}
	return f.Close()
}
