package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"kerfbook/api/answer"
	"kerfbook/api/service"
	"kerfbook/api/store"
	"kerfbook/bom"
	"kerfbook/cmd/kerfbook/settings"
	"kerfbook/costing/book"
	"kerfbook/costing/book/check"
	"kerfbook/costing/book/field"
	"kerfbook/costing/text"
	"kerfbook/testdata"
)

// command is one word of the command line with the names of its arguments; lower-case
// ones are the words to choose from. Its flags are declared before they are read.
type command struct {
	use, does string
	dated     bool // its figures are those of a day
	declare   func(c *call) action
	group     string // heading of the help that it stands under
}

// action does what a command is asked, once its flags are read.
type action func(ctx context.Context, args []string) error

// call is one run of a command.
type call struct {
	gaps           int           // things missing in the book, as far as told
	book           []byte        // text of the book that was opened
	problems       *[]problemOut // collects what is wrong with it, in place of words
	flags          *pflag.FlagSet
	stdin          io.Reader
	stdout, stderr io.Writer
	day            string
	data           *string // database in place of a book's file, where a command takes one
	now            func() time.Time
	browse         func(address string) error // opens the user's browser
}

// usageError is a call that cannot be understood.
type usageError struct{ message string }

func (e *usageError) Error() string { return e.message }

func usagef(format string, args ...any) error { return &usageError{fmt.Sprintf(format, args...)} }

// resolved gives the settings in force. A fault of theirs is a call that cannot be understood.
func resolved(f settings.Flags, name string) (settings.Settings, error) {
	s, err := f.Resolve(name)
	var fault *settings.Fault
	if errors.As(err, &fault) {
		err = &usageError{fault.Message}
	}
	return s, err
}

// Groups of commands.
const (
	prices    = "What it costs"
	books     = "The book"
	databases = "The database"
	servers   = "Serving"
)

func commands() []command {
	return []command{
		{"price BOOK", "price trims at batch quantities, landed in the book's destinations", true, runPrice, prices},
		{"explain BOOK KEY", "show how a figure was made, as a tree", true, runExplain, prices},
		{"spread BOOK", "say how sure figures and prices are, and what moves them", true, runSpread, prices},
		{"curve BOOK", "draw a cost against the batch quantity, with every step", true, runCurve, prices},
		{"compare BOOK --from TRIM@QUANTITY --to TRIM@QUANTITY", "say why two batches cost what they cost, line by line", true, runCompare, prices},
		{"hours BOOK", "say what an hour of each wage comes to, and what it becomes at half the hours", false, runHours, prices},
		{"check BOOK", "check a book and name every fault with its line", true, runCheck, books},
		{"tidy BOOK", "write a book in the order and form of the program, with its comments", false, runTidy, books},
		{"differences BOOK BOOK", "say which records of two books differ, and what each does to the full cost", true, runDifferences, books},
		{"export book|workbook|csv|operations|records BOOK", "write the book, the cost workbook or a CSV", true, runExport, books},
		{"import BOOK KIND-OR-PART FILE", "take records of a kind, or the operations of a part, from a CSV", true, runImport, books},
		{"measure BOOK PART FILE", "measure a model file (STL or 3MF) for a part, and find blanks for it", false, runMeasure, books},
		{"fields [KIND] [FIELD]", "say which fields the records of a book have, and what one takes", false, runFields, books},
		{"save FILE", "save and remove several records of a database in one change", false, runSave, databases},
		{"starter NAME", "take a material or a set of tools into a database; NAME list lists them", false, runStarter, databases},
		{"open", "serve the shop in the user's folder and open the browser on it; what no command at all does", false, runOpen, servers},
		{"demo", "serve the demo book on this machine, or write it to a file", false, runDemo, servers},
		{"serve", "serve pages and API on a database", false, runServe, servers},
		{"link", "make a code that signs somebody in once", false, runLink, servers},
		{"people [NAME]", "list who works in the shop, add or change somebody", false, runPeople, servers},
		{"token NAME", "make a token for a program", false, runToken, servers},
		{"backup FILE", "write a copy of the database while it is in use", false, runBackup, databases},
		{"restore FILE", "put a backup where the database is to be", false, runRestore, databases},
		{"audit verify", "check that the change log and what it vouches for hold together", false, runAudit, databases},
		{"version", "say what this program was built from", false, runVersion, servers},
		{"healthcheck", "ask a server on this machine whether it is ready", false, runHealthcheck, servers},
	}
}

// run executes one command. A *usageError is a call that cannot be understood.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) error {
	return runWith(ctx, args, call{stdin: stdin, stdout: stdout, stderr: stderr, now: time.Now, browse: browser})
}

// runWith executes one command with what it may use of the world.
func runWith(ctx context.Context, args []string, with call) error {
	understood := false
	if len(args) == 0 {
		args = []string{"open"}
	}
	root := newRoot()
	for _, c := range commands() {
		in := with
		cmd := in.command(c)
		does := cmd.RunE
		cmd.RunE = func(cmd *cobra.Command, args []string) error {
			understood = true
			return does(cmd, args)
		}
		root.AddCommand(cmd)
	}
	if len(args) > 0 && args[0] == "--version" {
		args = []string{"version"}
	}
	root.SetArgs(args)
	root.SetOut(with.stdout)
	root.SetErr(with.stderr)
	err := root.ExecuteContext(ctx)
	if err != nil && !understood {
		return &usageError{err.Error()}
	}
	return err
}

// newRoot is the command line without its commands.
func newRoot() *cobra.Command {
	root := &cobra.Command{
		Use:   "kerfbook",
		Short: "kerfbook prices machined, finished, assembled products from one book.",
		Long: `kerfbook prices machined, finished, assembled products from one book.

BOOK is a file, - for standard input, or the word demo for the book that is
built in. It ends with 1 where something is wrong, 2 where the call cannot be
understood and 3 where the book lacks something and all else was done.`,
		Args:          unknownCommand,
		RunE:          func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
		SilenceErrors: true, SilenceUsage: true, DisableFlagsInUseLine: true,
		SuggestionsMinimumDistance: 2,
	}
	for _, title := range []string{prices, books, databases, servers} {
		root.AddGroup(&cobra.Group{ID: title, Title: title + ":"})
	}
	root.SetFlagErrorFunc(func(cmd *cobra.Command, err error) error {
		if !cmd.HasParent() { // the name of the program stands before it anyway
			return errors.New(flagWords(err, cmd.Flags()))
		}
		return fmt.Errorf("%s: %s", cmd.Name(), flagWords(err, cmd.Flags()))
	})
	root.SetHelpCommand(&cobra.Command{
		Use:   "help [COMMAND]",
		Short: "say what a command does and which flags it has",
		RunE: func(cmd *cobra.Command, args []string) error {
			found, rest, err := root.Find(args)
			if err == nil {
				err = unknownCommand(root, rest)
			}
			if err != nil {
				return err
			}
			return found.Help()
		},
	})
	return root
}

// unknownCommand refuses a word that no command has.
func unknownCommand(root *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	if near := root.SuggestionsFor(args[0]); len(near) > 0 {
		return fmt.Errorf("there is no command %q; did you mean %s?", args[0], strings.Join(near, " or "))
	}
	return fmt.Errorf("there is no command %q; kerfbook help lists them", args[0])
}

// command makes a command of the command line.
func (c *call) command(of command) *cobra.Command {
	cmd := &cobra.Command{Use: of.use, Short: of.does, GroupID: of.group, DisableFlagsInUseLine: true}
	c.flags = cmd.Flags()
	does := of.declare(c)
	if of.dated {
		c.flags.StringVar(&c.day, "day", "", "day whose rate card, offers and rules are used (default today in the shop's time_zone)")
	}
	words, _, _ := strings.Cut(of.use, " --")
	names := strings.Fields(words)[1:]
	for _, name := range names {
		if name == strings.ToLower(name) {
			cmd.ValidArgs = strings.Split(name, "|")
		}
	}
	book := slices.Index(names, "BOOK")
	cmd.Args = func(_ *cobra.Command, args []string) error {
		want := len(names)
		if c.stored() {
			want--
		}
		least := want
		for _, name := range names {
			if name[0] == '[' {
				least--
			}
		}
		if len(args) > want || len(args) < least {
			return fmt.Errorf("usage: kerfbook %s", of.use)
		}
		return nil
	}
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if c.stored() {
			args = slices.Insert(args, book, "")
		}
		return does(cmd.Context(), args)
	}
	return cmd
}

// dataInstead declares the flag for a database in the place of BOOK.
func (c *call) dataInstead() {
	c.data = c.flags.String("data", "", "database in place of BOOK: an SQLite file or a postgres:// address")
}

// stored reports whether the book is that of a database.
func (c *call) stored() bool { return c.data != nil && *c.data != "" }

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
	c.book = data
	b, places, err := book.Parse(data, field.Hints{})
	if err != nil {
		return o, "", c.report(name, err)
	}
	if day, err = c.date(b); err != nil {
		return o, "", err
	}
	o = answer.Of(b)
	if n := c.tell(name, o.Check(places, day)); n > 0 {
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
	return o, day, c.tell(store.Name(*c.data), o.Check(nil, day)), nil
}

// tell writes what does not fit together in a book and counts the faults;
// warnings do not stop a figure.
func (c *call) tell(name string, list []check.Problem) int {
	faults := 0
	for _, p := range list {
		severity := string(p.Severity) + ": "
		switch p.Severity {
		case check.Fault:
			faults, severity = faults+1, ""
		case check.Gap:
			c.gaps++
		}
		if c.collected(p) {
			continue
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
		if c.collected(check.Problem{Severity: check.Fault, Line: f.Line, Column: f.Column, Path: f.Path, Message: f.Message}) {
			continue
		}
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
