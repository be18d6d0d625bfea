package main

import (
	"fmt"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/answer/study"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
)

// changes reads inputs with new values, each written key=value.
func changes(flag string, items []string) ([]change.Change, error) {
	var out []change.Change
	for _, item := range items {
		key, value, ok := strings.Cut(item, "=")
		if !ok {
			return nil, usagef("--%s %q: write key=value, such as work-centre/MILL/labour-rate=27.50", flag, item)
		}
		out = append(out, change.Change{Key: strings.TrimSpace(key), Value: strings.TrimSpace(value)})
	}
	return out, nil
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

// trimsAt reads trims such as glow,plain+wall as one batch of the same quantity
// each.
func trimsAt(b *book.Book, trims, quantity string) ([]estimate.MixLine, error) {
	var lines []string
	for trim := range strings.SplitSeq(trims, ",") {
		lines = append(lines, strings.TrimSpace(trim)+"="+quantity)
	}
	mix, err := answer.ParseMix(b, strings.Join(lines, ","))
	if err != nil {
		return nil, usagef("%v", err)
	}
	return mix, nil
}

// firstTrim is the trim that is meant where none is named.
func firstTrim(b *book.Book) string {
	for _, p := range b.Products {
		for _, t := range p.Trims {
			return string(t.ID)
		}
	}
	return ""
}

// side reads one side of a comparison: trim@quantity, or trim@quantity@day.
func (c *call) side(b *book.Book, flag, text string, day bom.Date) (study.DifferenceSide, error) {
	parts := strings.Split(text, "@")
	if len(parts) < 2 || len(parts) > 3 {
		return study.DifferenceSide{}, usagef("--%s %q: write a trim, its quantity and if you like a day, such as glow@250 or glow+wall@250@2027-01-31", flag, text)
	}
	mix, err := trimsAt(b, parts[0], parts[1])
	if err != nil {
		return study.DifferenceSide{}, usagef("--%s: %v", flag, err)
	}
	if len(parts) == 3 {
		if day, err = bom.ParseDate(parts[2]); err != nil {
			return study.DifferenceSide{}, usagef("--%s: %v", flag, err)
		}
	}
	return study.DifferenceSide{Batch: change.Batch{Mix: mix, Day: day}}, nil
}

// sameFigure names the figure of another variant that corresponds to one.
func sameFigure(key string, from, to estimate.MixLine) string {
	if rest, ok := strings.CutPrefix(key, "variant/"+from.Name()+"/"); ok {
		return "variant/" + to.Name() + "/" + rest
	}
	return key
}

// shareOf reads a number of per cent as a share.
func shareOf(text string) (decimal.Decimal, error) {
	percent, err := bom.ParseDecimal(strings.TrimSuffix(text, "%"))
	return percent.Shift(-2), err
}

// chanceOf reads a chance in per cent, as it is written everywhere for people. One
// below 1 is more likely a share, which programs write.
func chanceOf(text string) (decimal.Decimal, error) {
	percent, err := bom.ParseDecimal(strings.TrimSuffix(text, "%"))
	switch {
	case err != nil:
		return percent, err
	case percent.IsPositive() && percent.LessThan(decimal.New(1, 0)):
		return percent, fmt.Errorf("%s %% - did you mean %s? A chance is given in per cent", percent, percent.Shift(2))
	case !percent.IsPositive(), !percent.LessThan(decimal.New(100, 0)):
		return percent, fmt.Errorf("%s %% is no chance; give one between 0 and 100, such as 80", percent)
	}
	return shareOf(percent.String())
}

// marginOf reads a margin in per cent.
func marginOf(text string) (decimal.Decimal, error) {
	share, err := shareOf(text)
	if err == nil && (share.IsNegative() || !share.LessThan(decimal.New(1, 0))) {
		err = fmt.Errorf("%s is no margin in per cent; give one from 0 to below 100, such as 40", text)
	} else if err == nil && share.IsPositive() && share.LessThan(decimal.New(1, -2)) {
		err = fmt.Errorf("%s %% - did you mean %s? A margin is given in per cent", share.Shift(2), share.Shift(4))
	}
	return share, err
}
