package main

import (
	"context"
	"fmt"
	"strings"
	"time"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
)

// runDifferences says which records differ between two books, and what each does to the
// full cost of the trims.
func runDifferences(c *call) action {
	quantity := c.flags.String("quantity", "100", "batch quantity of each trim, alone")
	asJSON := c.flags.Bool("json", false, "write JSON")
	return func(ctx context.Context, args []string) error {
		if args[0] == "-" && args[1] == "-" {
			return usagef("differences: only one of the two can come from standard input")
		}
		q, err := answer.ParseQuantity(*quantity)
		if err != nil {
			return usagef("--quantity: %v", err)
		}
		before, day, err := c.open(args[0])
		if err != nil {
			return err
		}
		after, _, err := c.open(args[1])
		if err != nil {
			return err
		}
		p := newProgress(c.stderr, time.Now)
		p.what = "records"
		out, err := change.DifferenceOf(ctx, before, after, q, day, p.report)
		if err != nil {
			return interrupted(err)
		}
		if *asJSON {
			return c.json(out)
		}
		t := &tableWriter{w: c.stdout}
		t.line("Full cost of a piece on %s, each trim in a batch of %s alone, %s", day, out.Quantity, out.Currency)
		for _, r := range out.Records {
			t.recordDifference(r)
		}
		if len(out.Records) == 0 {
			t.line("\nBoth books say the same.")
			return t.err
		}
		t.line("\nAll together")
		t.costsMoved(out.Costs)
		return t.err
	}
}

func (t *tableWriter) recordDifference(r change.RecordDifference) {
	t.line("\n%s: %s", strings.TrimSuffix(r.Kind+" "+r.ID+", "+r.Name, ", "), r.Did)
	for _, f := range r.Fields {
		if r.Did == "added" {
			t.line("  %s: %s", f.Path, f.After)
		} else {
			t.line("  %s: %s → %s", f.Path, orNothing(f.Before), orNothing(f.After))
		}
	}
	switch {
	case r.Why != "":
		t.line("  with this alone there is no full cost: %s", strings.ReplaceAll(r.Why, "\n", "; "))
	case len(r.Costs) == 0:
		t.line("  moves no full cost by itself")
	}
	t.costsMoved(r.Costs)
}

func (t *tableWriter) costsMoved(list []change.CostMoved) {
	said := func(f answer.Figure) string {
		if f.Key == "" {
			return "no figure"
		}
		return amount(f)
	}
	for _, m := range list {
		text := fmt.Sprintf("  full cost of %s: %s", m.Trim, said(m.Before))
		if said(m.Before) != said(m.After) {
			text += " → " + said(m.After)
		}
		t.line("%s", text)
	}
}
