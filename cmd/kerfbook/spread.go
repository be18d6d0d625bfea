package main

import (
	"cmp"
	"context"
	"errors"
	"strings"
	"time"

	"kerfbook/api/answer/change"
	"kerfbook/api/answer/study"
	"kerfbook/bom"
	"kerfbook/costing/book"
)

// spreadArgs are the flags of spread.
type spreadArgs struct {
	trim, quantity, mix        *string
	figures, movers, precision *string
	chance                     *string
	draws                      *int
	seed                       *uint64
	hindsight, asJSON          *bool
	correlate, set, price      []string
}

func spreadFlags(c *call) *spreadArgs {
	f := c.flags
	a := &spreadArgs{
		trim:      f.String("trim", "", "trim with choices in place of its own, such as glow or plain+wall; several with commas are one batch (default: the first of the book)"),
		quantity:  f.String("quantity", "100", "batch quantity of each trim"),
		mix:       f.String("mix", "", "the batch, such as plain=100,glow+wall=50, in place of --trim and --quantity"),
		figures:   f.String("figures", "", "keys of the figures to draw, separated by commas (default: costs, prices and margins)"),
		movers:    f.String("movers", "", "key of the figure whose inputs are ranked (default: the full cost of the first trim)"),
		precision: f.String("precision", "", "stop as soon as a quantile of that figure is known well enough: quantile,standard error ÷ value, both in per cent, such as 80,0.1"),
		chance:    f.String("chance", "", "a chance to give prices for, in per cent, such as 75, beside 50, 80, 90 and 95"),
		draws:     f.Int("draws", study.DefaultDraws, "draws to make, rounded up to whole blocks of 1,024, to ten of them at least. "+study.DrawLimit),
		seed:      f.Uint64("seed", study.DefaultSeed, "which of the possible sequences of draws; the same gives the same figures"),
		hindsight: f.Bool("hindsight", false, "let offers and order quantities follow each draw, as if it were known beforehand"),
		asJSON:    f.Bool("json", false, "write JSON with histograms and curves"),
	}
	f.StringArrayVar(&a.correlate, "correlate", nil, "rank correlation of two inputs that are ranges: `key,key,rank`; may be repeated")
	f.StringArrayVar(&a.set, "set", nil, "an input at another value: `key=value`; may be repeated")
	f.StringArrayVar(&a.price, "price", nil, "a price to give the chance at: `channel=price`; may be repeated")
	return a
}

// runSpread says how sure figures are and what moves them.
func runSpread(c *call) action {
	a := spreadFlags(c)
	return func(ctx context.Context, args []string) error {
		o, day, err := c.open(args[0])
		if err != nil {
			return err
		}
		if err := a.oneBatch(c); err != nil {
			return err
		}
		req, err := a.request(o.Book, day)
		if err != nil {
			return err
		}
		q, err := study.NewSpreading(ctx, change.OriginOf(o), req)
		if err != nil {
			return flagFaults(err)
		}
		out, err := q.Answer(ctx, newProgress(c.stderr, time.Now).report)
		if err != nil {
			return flagFaults(err)
		}
		if *a.asJSON {
			return c.json(out)
		}
		return spreadTable(c.stdout, out, *a.draws)
	}
}

// oneBatch refuses a batch that is named twice.
func (a *spreadArgs) oneBatch(c *call) error {
	for _, name := range []string{"trim", "quantity"} {
		if *a.mix != "" && c.flags.Changed(name) {
			return usagef("--mix and --%s: name the batch either by --mix or by --trim and --quantity", name)
		}
	}
	return nil
}

func (a *spreadArgs) request(b *book.Book, day bom.Date) (req study.SpreadRequest, err error) {
	req = study.SpreadRequest{Batch: change.Batch{Day: day}, Movers: *a.movers, Draws: *a.draws, Seed: *a.seed, Hindsight: *a.hindsight}
	if *a.mix != "" {
		req.Mix, err = mixOf(b, *a.mix)
	} else {
		req.Mix, err = trimsAt(b, cmp.Or(*a.trim, firstTrim(b)), *a.quantity)
	}
	if err != nil {
		return req, err
	}
	if req.Changes, err = changes("set", a.set); err != nil {
		return req, err
	}
	if *a.figures != "" {
		req.Figures = strings.Split(*a.figures, ",")
	}
	if req.Precision, err = precisionOf(*a.precision); err != nil {
		return req, err
	}
	if req.Correlations, err = correlations(a.correlate); err != nil {
		return req, err
	}
	req.Prices, err = a.questions()
	return req, err
}

func precisionOf(text string) (*study.SpreadPrecision, error) {
	if text == "" {
		return nil, nil
	}
	quantile, relative, _ := strings.Cut(text, ",")
	q, err := chanceOf(quantile)
	if err != nil {
		return nil, usagef("--precision: quantile: %v", err)
	}
	r, err := shareOf(relative)
	if err != nil {
		return nil, usagef("--precision: write the quantile and the standard error ÷ value, both in per cent, such as 80,0.1: %v", err)
	}
	return &study.SpreadPrecision{Quantile: q, Relative: r}, nil
}

func correlations(items []string) ([]study.RankCorrelation, error) {
	var out []study.RankCorrelation
	for _, item := range items {
		parts := strings.Split(item, ",")
		if len(parts) != 3 {
			return nil, usagef("--correlate %q: write the keys of two inputs and their rank correlation, separated by commas", item)
		}
		rank, err := bom.ParseDecimal(parts[2])
		if err != nil {
			return nil, usagef("--correlate: rank correlation: %v", err)
		}
		out = append(out, study.RankCorrelation{A: parts[0], B: parts[1], Rank: rank})
	}
	return out, nil
}

// questions asks about each price named, and for the chance in every channel.
func (a *spreadArgs) questions() ([]study.PriceQuestion, error) {
	var out []study.PriceQuestion
	for _, item := range a.price {
		channel, text, _ := strings.Cut(item, "=")
		price, err := bom.ParseDecimal(text)
		if err == nil && channel == "" {
			err = errors.New("no channel is named")
		}
		if err != nil {
			return nil, usagef("--price %q: write channel=price: %v", item, err)
		}
		out = append(out, study.PriceQuestion{Channel: bom.ID(channel), Price: &price})
	}
	if *a.chance == "" {
		return out, nil
	}
	chance, err := chanceOf(*a.chance)
	if err != nil {
		return nil, usagef("--chance: %v", err)
	}
	return append(out, study.PriceQuestion{Chance: &chance}), nil
}
