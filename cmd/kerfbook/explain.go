package main

import (
	"context"
	"encoding/json"

	"kerfbook/costing/papers/show"
)

// runExplain shows the proof of a figure.
func runExplain(c *call) action {
	mixText := c.flags.String("mix", "", "the batch, such as plain=100,glow+wall=50 (default: 100 of every trim in one batch)")
	depth := c.flags.Int("depth", 3, "levels to open; -1 opens all")
	asJSON := c.flags.Bool("json", false, "write JSON")
	return func(ctx context.Context, args []string) error {
		if *depth < -1 {
			return usagef("--depth %d: open 0 or more levels, or -1 for all", *depth)
		}
		o, day, err := c.open(args[0])
		if err != nil {
			return err
		}
		mix, err := mixOf(o.Book, *mixText)
		if err != nil {
			return err
		}
		sheet, err := o.Sheet(ctx, mix, day)
		if err != nil {
			return err
		}
		step, err := sheet.Explain(args[1], *depth)
		if err != nil {
			return err
		}
		if *asJSON {
			return c.json(step)
		}
		return show.Tree(c.stdout, step)
	}
}

func (c *call) json(v any) error {
	e := json.NewEncoder(c.stdout)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(v)
}
