package main

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/answer/study"
	"kerfbook/bom"
)

// runPrice prices trims at batch quantities.
func runPrice(c *call) action {
	req := priceFlags(c)
	return func(ctx context.Context, args []string) error {
		return c.price(ctx, args[0], req)
	}
}

// priceArgs are the flags of price and demo.
type priceArgs struct {
	trims, quantities *string
	parts, margin, to *string
	together, asJSON  *bool
	all               *bool
}

func priceFlags(c *call) priceArgs {
	return priceArgs{
		trims:      c.flags.String("trims", "", "trims to price, separated by commas (default: all)"),
		parts:      c.flags.String("part", "", "parts to price alone, without product or trim, separated by commas"),
		margin:     c.flags.String("margin", "", "margin asked of the parts, in per cent (default: that of each channel)"),
		to:         c.flags.String("to", "", "countries the parts are sold in, such as DE,CH, separated by commas"),
		quantities: c.flags.String("quantities", "50,100,250,500", "batch quantities, separated by commas"),
		together:   c.flags.Bool("together", false, "price the trims as one batch that shares parts and set-ups"),
		asJSON:     c.flags.Bool("json", false, "write JSON: the figures of the table, each with its key"),
		all:        c.flags.Bool("all", false, "with --json, write every figure that these rest on as well"),
	}
}

func (c *call) price(ctx context.Context, name string, flags priceArgs) error {
	o, day, err := c.open(name)
	if err != nil {
		return err
	}
	if *flags.all && !*flags.asJSON {
		return usagef("--all goes with --json; the table shows the figures it has room for")
	}
	req := answer.PriceRequest{Day: day, Together: *flags.together, All: *flags.all}
	if req.Quantities, err = listed("quantities", *flags.quantities, answer.ParseQuantity); err != nil {
		return err
	}
	if *flags.trims != "" {
		if req.Trims, err = listed("trims", *flags.trims, bom.ParseID); err != nil {
			return err
		}
	}
	if err = flags.alone(&req); err != nil {
		return err
	}
	list, err := study.PriceList(ctx, change.OriginOf(o), req)
	if err == nil && len(list.Estimates) == 0 {
		err = answer.NoTrim()
	}
	if err != nil {
		return err
	}
	if *flags.asJSON {
		err = c.json(list)
	} else {
		err = priceTable(c.stdout, list)
	}
	return errors.Join(err, uncomputed(list))
}

// alone reads which parts are priced alone, and at what margin.
func (flags priceArgs) alone(req *answer.PriceRequest) (err error) {
	if *flags.parts != "" {
		if req.Parts, err = listed("part", *flags.parts, bom.ParseID); err != nil {
			return err
		}
	}
	if req.Chances = len(req.Parts) > 0; *flags.to != "" {
		if !req.Chances {
			return usagef("--to goes with --part; trims are priced in all destinations of the book")
		}
		req.Destinations = strings.Split(*flags.to, ",")
	}
	if *flags.margin == "" {
		return nil
	}
	if len(req.Parts) == 0 {
		return usagef("--margin goes with --part; what trims ask stands under prices in the book")
	}
	share, err := marginOf(*flags.margin)
	if err != nil {
		return usagef("--margin: %v", err)
	}
	margin := bom.Exactly(share)
	req.Margin = &margin
	return nil
}

// uncomputed says how many figures of a price list have no value.
func uncomputed(list answer.PriceList) error {
	n, missing := 0, map[string]bool{}
	for _, e := range list.Estimates {
		for _, f := range e.Findings {
			switch f.Severity {
			case "error":
				n++
			case "gap":
				missing[f.Message] = true
			}
		}
	}
	switch {
	case n == 0 && len(missing) > 0:
		return &gapsError{len(missing)}
	case n == 0:
		return nil
	}
	return fmt.Errorf("%s cannot be computed; the reasons stand with the findings", count(n, "figure"))
}

// gapsError ends a command that did what it was asked, but for what is missing in the
// book.
type gapsError struct{ n int }

func (e *gapsError) Error() string {
	if e.n == 1 {
		return "1 thing is missing in the book"
	}
	return fmt.Sprintf("%d things are missing in the book", e.n)
}

// listed reads what a flag lists with commas.
func listed[T any](flag, text string, read func(string) (T, error)) ([]T, error) {
	var out []T
	for item := range strings.SplitSeq(text, ",") {
		one, err := read(strings.TrimSpace(item))
		if err != nil {
			return nil, usagef("--%s: %v", flag, err)
		}
		out = append(out, one)
	}
	return out, nil
}
