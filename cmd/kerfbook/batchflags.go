package main

import (
	"strings"

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
