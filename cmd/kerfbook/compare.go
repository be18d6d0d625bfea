package main

import (
	"cmp"
	"context"
	"fmt"
	"io"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/answer/study"
)

// runCompare says why two batches cost what they cost.
func runCompare(c *call) action {
	from := c.flags.String("from", "", "the batch before: a trim, its quantity and if you like a day, such as glow@50, plain+wall@250 or glow@250@2027-01-31")
	to := c.flags.String("to", "", "the batch after, written the same way")
	figure := c.flags.String("figure", "", "key of a figure of the batch before; of the one after the same (default: the full cost)")
	most := c.flags.Int("most", mostRows, "parts to list by themselves; 0 lists all")
	asJSON := c.flags.Bool("json", false, "write JSON with every line")
	var set []string
	c.flags.StringArrayVar(&set, "set", nil, "an input of the batch after at another value: `key=value`; may be repeated")
	return func(ctx context.Context, args []string) error {
		if *most < 0 {
			return usagef("--most %d: list 1 or more parts, or 0 for all", *most)
		}
		o, day, err := c.open(args[0])
		if err != nil {
			return err
		}
		req := study.DifferenceRequest{Most: *most}
		if req.Before, err = c.side(o.Book, "from", *from, day); err != nil {
			return err
		}
		if req.After, err = c.side(o.Book, "to", *to, day); err != nil {
			return err
		}
		if req.After.Changes, err = changes("set", set); err != nil {
			return err
		}
		req.Before.Figure, req.After.Figure = *figure, sameFigure(*figure, req.Before.Mix[0], req.After.Mix[0])
		out, err := study.Between(ctx, change.OriginOf(o), req, nil)
		if err != nil {
			return flagFaults(err)
		}
		if *asJSON {
			return c.json(out)
		}
		return compareTable(c.stdout, out)
	}
}

// compareTable writes a comparison for people.
func compareTable(w io.Writer, d study.Difference) error {
	t := &tableWriter{w: w}
	unit := unitOf(d.Before.Figure)
	t.line("%s", withUnit(d.Before.Figure.Label, unit))
	t.lastLeft([]string{"", "", ""}, [][]string{
		{"before", ends(d.Rounded.Before, d.Before.Figure), d.Before.Words},
		{"after", ends(d.Rounded.After, d.After.Figure), d.After.Words},
		{"difference", cell(cmp.Or(d.Rounded.Difference, d.Difference), unit), ""},
	})
	if d.Same {
		t.line("\nNothing differs.")
		return t.err
	}
	t.costSteps("By kind of cost", "kinds", d.Kinds, unit)
	t.costSteps("By part", "parts", d.Things, unit)
	t.inputShares(d)
	t.lineShares(d)
	return t.err
}

func ends(rounded string, f answer.Figure) string {
	return cell(cmp.Or(rounded, f.Value), unitOf(f))
}

// costSteps shows what things, called so, add to the difference.
func (t *tableWriter) costSteps(title, things string, steps []study.CostStep, unit string) {
	var rows [][]string
	for _, s := range steps {
		name := s.Name.Label
		if s.Name.Key == "" {
			name = fmt.Sprintf("other %s (%s)", things, count(int(s.Count), "line"))
		}
		rows = append(rows, []string{name, s.Change, cell(cmp.Or(s.Rounded.Amount, s.Amount), unit), tenths(s.Rounded.Percent), cell(s.Rounded.Level, unit)})
	}
	t.line("\n%s", title)
	t.table([]string{"", "", "adds", "% of the difference", "comes to"}, rows)
}

// inputShares shows the inputs that changed; lines without partner stand above.
func (t *tableWriter) inputShares(d study.Difference) {
	var rows [][]string
	for _, s := range d.Shares {
		row := []string{cell(cmp.Or(s.Rounded.Amount, s.Amount), unitOf(d.Before.Figure)), tenths(s.Rounded.Percent)}
		switch s.Kind {
		case study.ShareOfLine:
			continue
		case study.ShareOfAll:
			row = append([]string{"all changed inputs together", "", ""}, row...)
		default:
			row = append([]string{onBothSides(s), cmp.Or(s.BeforeChosen, input(s.Before.Value)), cmp.Or(s.AfterChosen, input(s.After.Value))}, row...)
		}
		rows = append(rows, row)
	}
	if len(rows) == 0 {
		return
	}
	title := "By input"
	if !d.Alike {
		title = "By input, of the lines that are built alike"
	}
	t.line("\n%s (rule: %s)", title, d.Method.Rule)
	t.table([]string{"input", "before", "after", "adds", "% of the difference"}, rows[:min(len(rows), mostRows)])
	t.more(len(rows))
	if d.Method.Reason != "" {
		t.line("  %s", d.Method.Reason)
	}
}

// onBothSides names an input, by both names where each side calls it otherwise.
func onBothSides(s study.InputShare) string {
	before, after := named(s.Before), named(s.After)
	if before == after {
		return after
	}
	return before + "; after: " + after
}

// lineShares tells of the lines that stand by themselves, so that the shares listed
// are not taken for the whole difference.
func (t *tableWriter) lineShares(d study.Difference) {
	lines := 0
	for _, s := range d.Shares {
		if s.Kind == study.ShareOfLine {
			lines++
		}
	}
	switch {
	case lines == 0:
	case lines == len(d.Shares):
		t.line("\nThere are no shares by input: all of the difference lies in %s of cost that only one side has or that are built differently; --json lists each.", count(lines, "line"))
	default:
		t.line("\nThe rest of the difference lies in %s of cost that only one side has or that are built differently; --json lists each with its share.", count(lines, "line"))
	}
}
