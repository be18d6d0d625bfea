package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"time"

	"kerfbook/api/answer"
	"kerfbook/api/service"
	"kerfbook/api/store"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/check"
	"kerfbook/costing/text"
	"kerfbook/testdata"
)

// command is one word of the command line.
type command struct {
	name, args, does string
	dated            bool // its figures are those of a day
	run              func(ctx context.Context, c *call) error
}

// call is one run of a command.
type call struct {
	gaps           int // things missing in the book, as far as told
	flags          *flag.FlagSet
	args           []string
	stdin          io.Reader
	stdout, stderr io.Writer
	day            string
	data           *string // database in place of a book's file, where a command takes one
	now            func() time.Time
}

// usageError is a call that cannot be understood.
type usageError struct{ message string }

func (e *usageError) Error() string { return e.message }

func usagef(format string, args ...any) error { return &usageError{fmt.Sprintf(format, args...)} }

func commands() []command {
	return []command{
		{"price", "BOOK", "price trims at batch quantities, landed in the book's destinations", true, runPrice},
		{"explain", "BOOK KEY", "show how a figure was made, as a tree", true, runExplain},
		{"spread", "BOOK", "say how sure figures and prices are, and what moves them", true, runSpread},
		{"curve", "BOOK", "draw a cost against the batch quantity, with every step", true, runCurve},
		{"compare", "BOOK", "say why two batches cost what they cost, line by line", true, runCompare},
		{"check", "BOOK", "check a book and name every fault with its line", true, runCheck},
		{"export", "WHAT BOOK", "write the book, the cost workbook or a CSV", true, runExport},
		{"import", "BOOK PART FILE", "take operations and features of a part from a CSV", true, runImportOperations},
		{"measure", "BOOK PART FILE", "measure a model file (STL or 3MF) for a part, and find blanks for it", false, runMeasure},
		{"save", "FILE", "save and remove several records of a database in one change", false, runSave},
		{"starter", "NAME", "take a material or a set of tools into a database; NAME list lists them", false, runStarter},
		{"demo", "", "serve the demo book on this machine, or write it to a file", false, runDemo},
		{"serve", "", "serve pages and API on a database", false, runServe},
		{"link", "", "make a code that signs in once", false, runLink},
		{"token", "NAME", "make a token for a program", false, runToken},
		{"backup", "FILE", "write a copy of the database while it is in use", false, runBackup},
		{"restore", "FILE", "put a backup where the database is to be", false, runRestore},
		{"audit", "verify", "check that the change log and what it vouches for hold together", false, runAudit},
		{"healthcheck", "", "ask a server on this machine whether it is ready", false, runHealthcheck},
	}
}

// run executes one command. A *usageError is a call that cannot be understood.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) error {
	if len(args) > 0 && (args[0] == "--version" || args[0] == "version") {
		written, err := version(ctx)
		if err != nil {
			return err
		}
		_, err = fmt.Fprintln(stdout, written)
		return err
	}
	if len(args) == 0 || args[0] == "help" || args[0] == "-h" || args[0] == "--help" {
		return help(stdout)
	}
	for _, c := range commands() {
		if c.name != args[0] {
			continue
		}
		in := &call{flags: newFlagSet(c.name), args: args[1:], stdin: stdin, stdout: stdout, stderr: stderr, now: time.Now}
		if c.dated {
			in.flags.StringVar(&in.day, "day", "", "day whose rate card, offers and rules are used (default today in the shop's time_zone)")
		}
		err := c.run(ctx, in)
		if errors.Is(err, flag.ErrHelp) {
			return in.help(c, stdout)
		}
		return err
	}
	return usagef("there is no command %q; kerfbook help lists them", args[0])
}

// newFlagSet makes a flag set that leaves its complaints to the caller.
func newFlagSet(name string) *flag.FlagSet {
	f := flag.NewFlagSet(name, flag.ContinueOnError)
	f.SetOutput(io.Discard)
	f.Usage = func() {}
	return f
}

func help(w io.Writer) error {
	fmt.Fprintln(w, "kerfbook prices machined, finished, assembled products from one book.")
	fmt.Fprintln(w)
	for _, c := range commands() {
		fmt.Fprintf(w, "  kerfbook %-22s %s\n", c.name+" "+c.args, c.does)
	}
	_, err := fmt.Fprint(w, "\nBOOK is a file, - for standard input, or the word demo for the book that is\nbuilt in. kerfbook COMMAND --help lists the flags of a command.\n"+
		"It ends with 1 where something is wrong, 2 where the call cannot be understood and\n3 where the book lacks something and all else was done.\n")
	return err
}

func (c *call) help(cmd command, w io.Writer) error {
	fmt.Fprintf(w, "kerfbook %s: %s\n\n", strings.TrimSpace(cmd.name+" "+cmd.args), cmd.does)
	c.flags.SetOutput(w)
	c.flags.PrintDefaults()
	return nil
}

// parse reads flags wherever they stand and leaves n arguments.
func (c *call) parse(n int, names string) ([]string, error) {
	var plain []string
	rest := c.args
	for {
		if err := c.flags.Parse(rest); err != nil {
			if errors.Is(err, flag.ErrHelp) {
				return nil, err
			}
			return nil, usagef("%s: %s", c.flags.Name(), flagWords(err))
		}
		if c.flags.NArg() == 0 {
			break
		}
		plain = append(plain, c.flags.Arg(0))
		rest = c.flags.Args()[1:]
	}
	if c.stored() {
		n--
	}
	if len(plain) != n {
		return nil, usagef("usage: kerfbook %s %s", c.flags.Name(), names)
	}
	return plain, nil
}

// dataInstead declares the flag for a database in the place of BOOK.
func (c *call) dataInstead() {
	c.data = c.flags.String("data", "", "database in place of BOOK: an SQLite file or a postgres:// address")
}

// stored reports whether the book is that of a database.
func (c *call) stored() bool { return c.data != nil && *c.data != "" }

// parseBook reads the arguments of a command whose argument at a place is a book;
// it is empty for that of a database.
func (c *call) parseBook(n int, names string, at int) ([]string, error) {
	args, err := c.parse(n, names)
	if err == nil && c.stored() {
		args = slices.Insert(args, at, "")
	}
	return args, err
}

// date is the day asked for, or today in the shop.
func (c *call) date(b *book.Book) (bom.Date, error) {
	if c.day == "" {
		return b.TimeZone.Day(c.now()), nil
	}
	d, err := bom.ParseDate(c.day)
	if err != nil {
		return "", usagef("--day: %v", err)
	}
	return d, nil
}

// maxBook is more than a book may have, so that a longer file is refused by the
// reader that says why.
const maxBook = text.MaxBytes + 1

// text reads a book's text: a file, standard input, or the demo.
func (c *call) text(name string) ([]byte, error) {
	if name == "demo" {
		return testdata.Demo, nil
	}
	in := c.stdin
	if name != "-" {
		f, err := os.Open(name)
		if err != nil {
			return nil, err
		}
		defer f.Close()
		in = f
	}
	return io.ReadAll(io.LimitReader(in, maxBook))
}

// open reads and checks a book. Faults are written to stderr, each with its
// place; the error then only counts them.
func (c *call) open(name string) (o answer.Origin, day bom.Date, err error) {
	data, err := c.text(name)
	if err != nil {
		return o, "", err
	}
	b, places, err := book.Parse(data)
	if err != nil {
		return o, "", c.report(name, err)
	}
	if day, err = c.date(b); err != nil {
		return o, "", err
	}
	o = answer.Of(b)
	if n := c.problems(name, o.Check(places, day)); n > 0 {
		return o, "", fmt.Errorf("%s: %s", name, count(n, "fault"))
	}
	return o, day, nil
}

// storedBook reads and checks the book of a database, and counts its faults.
func (c *call) storedBook(ctx context.Context) (o answer.Origin, day bom.Date, faults int, err error) {
	var b *book.Book
	err = c.onLook(ctx, *c.data, func(_ *store.Store, svc *service.Service) error {
		b, _, err = svc.Book(ctx)
		return err
	})
	if err == nil {
		day, err = c.date(b)
	}
	if err != nil {
		return o, "", 0, err
	}
	o = answer.Of(b)
	return o, day, c.problems(store.Name(*c.data), o.Check(nil, day)), nil
}

// problems writes what does not fit together in a book and counts the faults;
// warnings do not stop a figure.
func (c *call) problems(name string, list []check.Problem) int {
	faults := 0
	for _, p := range list {
		severity := string(p.Severity) + ": "
		switch p.Severity {
		case check.Fault:
			faults, severity = faults+1, ""
		case check.Gap:
			c.gaps++
		}
		if p.Line == 0 { // of a database
			fmt.Fprintf(c.stderr, "%s: %s\n", name, p.Error())
			continue
		}
		fmt.Fprintf(c.stderr, "%s:%d:%d: %s%s\n", name, p.Line, p.Column, severity, p.Message)
	}
	return faults
}

// report writes the faults of a text that cannot be read.
func (c *call) report(name string, err error) error {
	var faults *text.Errors
	if !errors.As(err, &faults) {
		return fmt.Errorf("%s: %w", name, err)
	}
	for _, f := range faults.List {
		fmt.Fprintf(c.stderr, "%s:%d:%d: %s\n", name, f.Line, f.Column, f.Message)
	}
	return fmt.Errorf("%s: %s", name, count(len(faults.List)+faults.More, "fault"))
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
