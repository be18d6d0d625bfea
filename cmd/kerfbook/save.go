package main

import (
	"context"
	"errors"
	"fmt"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/service"
	"kerfbook/api/store"
)

// runSave saves and removes several records of a database in one change. Records
// that the file names no version of are changed whatever they are.
func runSave(c *call) action {
	data := c.dataFlag()
	reason := c.flags.String("reason", "", "why, in one line; kept with the change")
	preview := c.flags.Bool("preview", false, "say what the change would leave lacking, and write nothing")
	return func(ctx context.Context, args []string) error {
		written, err := c.text(args[0])
		if err != nil {
			return err
		}
		drafts, err := change.ReadSet(written)
		if err != nil {
			return c.refused(args[0], err, answer.FieldError.Error)
		}
		return c.onData(ctx, data, func(_ *store.Store, svc *service.Service) error {
			for i, d := range drafts {
				now, err := svc.Record(ctx, d.Kind.Name, d.ID, 0)
				if err == nil && d.IfMatch == "" {
					drafts[i].IfMatch = now.Version
				} else if err != nil && answer.CodeOf(err) != answer.NotFound {
					return err
				}
			}
			done, err := service.SaveResult{}, error(nil)
			if *preview {
				done.Lacking, err = svc.Preview(ctx, drafts)
			} else {
				a := maker()
				a.Reason = *reason
				done, err = svc.Save(ctx, a, drafts)
			}
			if err != nil {
				return c.refused(args[0], err, answer.FieldError.Error)
			}
			for _, r := range done.Records {
				did := "saved"
				if r.Deleted {
					did = "removed"
				}
				fmt.Fprintf(c.stdout, "%s %s/%s, revision %d\n", did, r.Kind, r.ID, r.Revision)
			}
			if len(done.Lacking) > 0 {
				fmt.Fprintln(c.stdout, "No figure that rests on one of these is given until it is put right:")
			}
			for _, f := range done.Lacking {
				fmt.Fprintf(c.stdout, "  %s\n", f.Error())
			}
			if *preview {
				fmt.Fprintln(c.stdout, "nothing was written")
			}
			return nil
		})
	}
}

// refused writes each thing that is wrong with a file, as tell puts it; the error
// then only counts.
func (c *call) refused(path string, err error, tell func(answer.FieldError) string) error {
	var known *answer.Error
	if !errors.As(err, &known) || len(known.Fields) == 0 {
		return err
	}
	for _, f := range known.Fields {
		fmt.Fprintf(c.stderr, "%s: %s\n", path, tell(f))
	}
	return fmt.Errorf("%s: %s; nothing was written", path, count(len(known.Fields), "fault"))
}
