package notation

import (
	"regexp"
	"strings"

	"kerfbook/bom"
)

var (
	figures = regexp.MustCompile(`[0-9]\.[0-9]`)
	// quantity is a number that has its unit behind it, or a range that has: no number of a
	// standard or a material, and no part of a name, is one.
	quantity = regexp.MustCompile(`(?:^|[^\w.])[0-9]+(?:\.[0-9]+)?(?:(?: to | and | × | x |–)[0-9]+(?:\.[0-9]+)?)* (?:%|min|h|s|mm|cm|dm|m|µm|in|mm²|cm²|dm²|g|kg|lb|kW|[A-Z]{3})(?:[^\w]|$)`)
	// alone is a text that is a number and nothing else, but no number of a material.
	alone    = regexp.MustCompile(`^\s*[−-]?[0-9]+\.[0-9]+(?: ?%)?\s*$`)
	material = regexp.MustCompile(`^\s*1\.[0-9]{4}\s*$`)
	day      = regexp.MustCompile(`\b(?:19|20)[0-9]{2}-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12][0-9]|3[01])\b`)
)

// Figures writes a text that holds numbers of the program and nothing else.
func (s Style) Figures(text string) string {
	if !s.Comma {
		return text
	}
	return figures.ReplaceAllStringFunc(text, func(m string) string { return strings.Replace(m, ".", ",", 1) })
}

// Prose writes a sentence: its days, and its numbers that have a unit. Others may be
// names, and stay.
func (s Style) Prose(text string) string {
	if s.Days != YearFirst {
		text = day.ReplaceAllStringFunc(text, func(d string) string { return s.ShowDay(bom.Date(d)) })
	}
	if !s.Comma || !figures.MatchString(text) {
		return text
	}
	if alone.MatchString(text) && !material.MatchString(text) {
		return s.Figures(text)
	}
	return quantity.ReplaceAllStringFunc(text, s.Figures)
}
