package main

import (
	"cmp"
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"regexp"
	"runtime"
	"runtime/debug"
	"strings"
	"time"

	"kerfbook/api/service"
	"kerfbook/api/store"
	"kerfbook/cmd/kerfbook/settings"
)

// dataFlag declares the flag for the database and gives its value once parsed.
func (c *call) dataFlag() func() (string, error) {
	flags := settings.NewFlags(c.flags)
	return func() (string, error) {
		s, err := resolved(flags, "kerfbook.db")
		return s.Data, err
	}
}

// onLook runs a use case on a database, which stays as it is.
func (c *call) onLook(ctx context.Context, address string, do func(*store.Store, *service.Service) error) error {
	st, err := store.Look(ctx, address)
	if errors.Is(err, fs.ErrNotExist) {
		err = fmt.Errorf("%w; --data names the database", err)
	}
	if err != nil {
		return err
	}
	return errors.Join(do(st, service.New(st, time.Now, rand.Reader)), st.Close())
}

// onData runs a use case on the database asked for.
func (c *call) onData(ctx context.Context, data func() (string, error), do func(*store.Store, *service.Service) error) error {
	address, err := data()
	if err != nil {
		return err
	}
	if err := store.MustExist(address); err != nil {
		return fmt.Errorf("%w; --data names the database", err)
	}
	st, err := store.Open(ctx, address)
	if err != nil {
		return err
	}
	return errors.Join(do(st, service.New(st, time.Now, rand.Reader)), st.Close())
}

// runToken makes a token for a program, and shows it this once.
func runToken(c *call) action {
	data := c.dataFlag()
	scopes := c.flags.String("scopes", "read", "what it may do: read, write, quote, admin, prices, separated by commas")
	days := c.flags.Int("days", 90, "days until it ends")
	return func(ctx context.Context, args []string) error {
		may, err := service.ParseScopes(strings.Split(*scopes, ","))
		if err != nil {
			return usagef("--scopes: %v", err)
		}
		if *days < 1 || *days > 3650 {
			return usagef("--days: from 1 to 3650")
		}
		return c.onData(ctx, data, func(_ *store.Store, svc *service.Service) error {
			secret, t, err := svc.CreateToken(ctx, maker(), args[0], may, time.Now().AddDate(0, 0, *days))
			if err != nil {
				return err
			}
			_, err = fmt.Fprintf(c.stdout, "%s\nThis token of %s may %s until %s. It is shown only now.\n", secret, args[0], may, t.Expires.UTC().Format(time.DateOnly))
			return err
		})
	}
}

// runLink prints a link that signs in once, for a server that is running.
func runLink(c *call) action {
	data := c.dataFlag()
	person := c.flags.String("person", "", "whom it signs in, by name")
	return func(ctx context.Context, _ []string) error {
		return c.onData(ctx, data, func(_ *store.Store, svc *service.Service) error {
			secret, err := svc.NewLinkFor(ctx, maker(), *person)
			if err != nil {
				return err
			}
			_, err = fmt.Fprintf(c.stdout, "Paste this code on the sign-in page within 15 minutes; it works once: %s\n", secret)
			return err
		})
	}
}

// runPeople lists who works in the shop, or adds or changes one of them.
func runPeople(c *call) action {
	data := c.dataFlag()
	role := c.flags.String("role", "", "what they may do: all, or quotes for who may quote without seeing cost")
	rename := c.flags.String("rename", "", "another name for them")
	out := c.flags.Bool("shut-out", false, "they can do nothing from now on")
	in := c.flags.Bool("let-in", false, "they are let in again")
	return func(ctx context.Context, args []string) error {
		if *out && *in {
			return usagef("--shut-out and --let-in are opposites")
		}
		return c.onData(ctx, data, func(_ *store.Store, svc *service.Service) error {
			if len(args) > 0 {
				if err := c.setPerson(ctx, svc, args[0], *role, *rename, func(now bool) bool { return (now || *out) && !*in }); err != nil {
					return err
				}
			}
			people, err := svc.People(ctx)
			for _, p := range people {
				state := ""
				if !p.ShutOut.IsZero() {
					state = ", shut out on " + p.ShutOut.UTC().Format(time.DateOnly)
				}
				fmt.Fprintf(c.stdout, "%s: %s%s\n", p.Name, p.Role, state)
			}
			if len(people) == 0 {
				fmt.Fprintln(c.stdout, "nobody by name: whoever has this machine may do everything")
			}
			return err
		})
	}
}

// setPerson adds or changes the person of a name.
func (c *call) setPerson(ctx context.Context, svc *service.Service, name, role, rename string, out func(now bool) bool) error {
	people, err := svc.People(ctx)
	if err != nil {
		return err
	}
	is := service.Person{Name: name}
	for _, p := range people {
		if p.Name == name {
			is = p
		}
	}
	if role == "" && is.ID == "" {
		return usagef("people: there is nobody called %s; say with --role what they may do, and they are added", name)
	}
	_, err = svc.SetPerson(ctx, maker(), is.ID, cmp.Or(rename, is.Name), service.Role(cmp.Or(role, string(is.Role))), out(!is.ShutOut.IsZero()))
	return err
}

// runBackup writes a copy of the database while it is in use.
func runBackup(c *call) action {
	data := c.dataFlag()
	return func(ctx context.Context, args []string) error {
		from, err := data()
		if err != nil {
			return err
		}
		err = c.onLook(ctx, from, func(st *store.Store, _ *service.Service) error { return st.Backup(ctx, args[0]) })
		if err != nil {
			return err
		}
		return c.verified(ctx, "wrote", args[0])
	}
}

// runRestore puts a backup where the database is to be.
func runRestore(c *call) action {
	data := c.dataFlag()
	force := c.flags.Bool("force", false, "delete the log that a database left where the backup is put")
	return func(ctx context.Context, args []string) error {
		to, err := data()
		if err != nil {
			return err
		}
		if err := store.Restore(ctx, args[0], to, *force); err != nil {
			return err
		}
		return c.verified(ctx, "restored "+args[0]+" to", to)
	}
}

// verified says what was written and where its change log ends. It is kept whatever
// the log is like.
func (c *call) verified(ctx context.Context, done, path string) error {
	st, err := store.LookAtCopy(ctx, path)
	if err != nil {
		return err
	}
	report, err := service.New(st, time.Now, rand.Reader).VerifyLog(ctx)
	if err = errors.Join(err, st.Close()); err != nil {
		return err
	}
	head := "is empty"
	if report.Entries > 0 {
		head = fmt.Sprintf("ends at entry %d, %s", report.Entries, report.Head)
	}
	fmt.Fprintf(c.stdout, "%s %s; its change log %s\n", done, path, head)
	if err := c.logFaults(report); err != nil {
		return fmt.Errorf("%s was written and is kept, and its change log does not hold together: %w", path, err)
	}
	return nil
}

// logFaults writes the faults of a change log; the error counts them.
func (c *call) logFaults(report service.LogReport) error {
	for _, f := range report.Faults {
		fmt.Fprintf(c.stdout, "entry %d, %s: %s\n", f.Seq, f.Object, f.Message)
	}
	if len(report.Faults) > 0 {
		return fmt.Errorf("%s in %d entries of the change log", count(len(report.Faults), "fault"), report.Entries)
	}
	return nil
}

// runAudit checks the chain of the change log and everything it vouches for.
func runAudit(c *call) action {
	data := c.dataFlag()
	kept := c.flags.String("head", "", "fingerprint of the last entry as it was kept elsewhere; the log must still hold it")
	return func(ctx context.Context, args []string) error {
		if args[0] != "verify" {
			return usagef("audit %q: there is audit verify", args[0])
		}
		if !isHead.MatchString(*kept) {
			return usagef("--head: a fingerprint is 64 digits from 0 to f, as backup and audit verify print it")
		}
		address, err := data()
		if err != nil {
			return err
		}
		return c.onLook(ctx, address, func(_ *store.Store, svc *service.Service) error {
			report, err := svc.VerifyLogWith(ctx, *kept)
			if err == nil {
				err = c.logFaults(report)
			}
			if err != nil {
				return err
			}
			fmt.Fprintf(c.stdout, "%d entries of the change log hold together; the last is %s\n", report.Entries, report.Head)
			if *kept != "" {
				fmt.Fprintf(c.stdout, "the fingerprint kept elsewhere is that of entry %d\n", report.Kept)
			}
			return nil
		})
	}
}

var isHead = regexp.MustCompile(`^([0-9a-f]{64})?$`)

// runHealthcheck asks a server on this machine whether it is ready.
func runHealthcheck(c *call) action {
	url := c.flags.String("url", "http://127.0.0.1:8087/readyz", "address to ask")
	return func(ctx context.Context, _ []string) error {
		ctx, cancel := context.WithTimeout(ctx, 5*time.Second)
		defer cancel()
		req, err := http.NewRequestWithContext(ctx, http.MethodGet, *url, nil)
		if err != nil {
			return usagef("--url: %v", err)
		}
		answer, err := http.DefaultClient.Do(req)
		if err != nil {
			return err
		}
		defer answer.Body.Close()
		if answer.StatusCode != http.StatusOK {
			return fmt.Errorf("%s answers %s", *url, answer.Status)
		}
		_, err = fmt.Fprintln(c.stdout, "ready")
		return err
	}
}

// runVersion says what this program was built from.
func runVersion(c *call) action {
	return func(ctx context.Context, _ []string) error {
		written, err := version(ctx)
		if err != nil {
			return err
		}
		_, err = fmt.Fprintln(c.stdout, written)
		return err
	}
}

// version names the build: version and commit, what it was built with, and the
// schema of its databases.
func version(ctx context.Context) (string, error) {
	release, commit := builtFrom()
	built, err := store.BuiltWith(ctx)
	return fmt.Sprintf("kerfbook %s\ncommit %s\n%s\nSQLite %s\nschema %d", release, commit, runtime.Version(), built.SQLite, built.Schema), err
}

// builtFrom gives the release, which the build takes from the tag of the commit, and
// the commit.
func builtFrom() (release, commit string) {
	release, commit = "unknown", "unknown"
	if info, ok := debug.ReadBuildInfo(); ok {
		release = info.Main.Version
		for _, s := range info.Settings {
			switch {
			case s.Key == "vcs.revision":
				commit = s.Value
			case s.Key == "vcs.modified" && s.Value == "true":
				commit += " with changes"
			}
		}
	}
	return release, commit
}
