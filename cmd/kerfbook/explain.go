package main

import (
	"context"
	"encoding/json"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
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

// mixOf reads a mix; without one it is a hundred of every trim in one batch.
func mixOf(b *book.Book, text string) ([]estimate.MixLine, error) {
	if text != "" {
		mix, err := answer.ParseMix(b, text)
		if err != nil {
			return nil, usagef("--mix: %v", err)
		}
		return mix, nil
	}
	var mix []estimate.MixLine
	for _, p := range b.Products {
		for _, t := range p.Trims {
			mix = append(mix, estimate.MixLine{Product: p.Number, Trim: t.ID, Quantity: bom.Whole(100)})
		}
	}
	return mix, nil
}
