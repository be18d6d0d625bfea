package form

import (
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/estimate"
	"kerfbook/web/frame"
	"kerfbook/web/notation"
)

// SoldTo asks for the countries that something is sold to.
func SoldTo(typed string) frame.Field {
	f := frame.CountryField("to", "Sold to", "countries by name or two letters, such as Germany, CH", typed)
	f.Wide = true
	return f
}

// Country reads a country by its name or code; of a text that is none it says how one is
// typed.
func Country(typed string) (bom.Country, error) {
	code, known := notation.Country(typed)
	if !known {
		return code, fmt.Errorf("enter its name in English, such as Germany, or its two letters, such as DE; %q is neither", bom.Shorten(typed))
	}
	return code, nil
}

// Places reads the countries that something is sold to, with the region of one where rules
// differ, such as CA-ON.
func Places(typed string) (out []string, err error) {
	add := func(word string) bool {
		code, known := notation.Country(word)
		if country, region, in := strings.Cut(strings.ToUpper(word), "-"); !known && in && bom.Country(country).Known() {
			code, known = bom.Country(country+"-"+region), true
		}
		if known && !slices.Contains(out, string(code)) {
			out = append(out, string(code))
		}
		return known
	}
	for _, word := range strings.FieldsFunc(typed, func(r rune) bool { return strings.ContainsRune(",;", r) }) {
		if word = strings.TrimSpace(word); word == "" || add(word) {
			continue
		}
		for _, one := range strings.Fields(word) { // a blank between codes
			if !add(one) {
				_, err := Country(word)
				return nil, err
			}
		}
	}
	return out, nil
}

// MarginHint says what a margin is a share of.
const MarginHint = "of the price that is asked, not on top of cost"

// AskLine reads how many of a part are asked for, and at which margin.
func AskLine(c *frame.Call, number bom.ID, fields *[]frame.Field, found *frame.Problems) estimate.MixLine {
	field := func(name, label, standard string) *frame.Field {
		*fields = append(*fields, frame.Field{Name: name, Label: label, Value: c.Typed(name, standard), Mode: "numeric"})
		return &(*fields)[len(*fields)-1]
	}
	line := estimate.MixLine{Part: number, Quantity: bom.Whole(frame.StandardQuantity)}
	margin := ""
	if c.View.Alone() && c.View.Lines[0].Part == number {
		if line = c.View.Lines[0]; line.Margin != nil {
			margin = c.Style.Text(PercentText(line.Margin.Likely.String()))
		}
	}
	f := field("pieces", "How many", line.Quantity.Likely.String())
	f.Suffix = "piece"
	if n, err := frame.ReadQuantity(c.Style, f.Value); err != nil {
		found.Wrong(f, err.Error())
	} else {
		line.Quantity = bom.Exactly(n)
	}
	f = field("margin", "Margin asked", margin)
	f.Suffix, f.Hint = "%", MarginHint
	line.Margin = nil
	if f.Value != "" {
		share, err := ReadPercent(c.Style, f.Value)
		switch {
		case err != nil:
			found.Wrong(f, err.Error())
		case share.IsNegative() || !share.LessThan(decimal.New(1, 0)):
			found.Wrong(f, "a margin is from 0 to below 100 per cent")
		default:
			asked := bom.Exactly(share)
			line.Margin = &asked
		}
	}
	return line
}
