package text

import (
	"fmt"
	"strings"

	"kerfbook/bom"

	"github.com/shopspring/decimal"
)

// limits are the bounds a tag sets for a figure.
type limits struct {
	lower, upper         *decimal.Decimal
	lowerOpen, upperOpen bool
	whole                bool // no fraction, and no range
	single               bool // no range
}

// set takes one option of a tag; it reports whether it is a bound.
func (l *limits) set(option string) (bool, error) {
	name, text, _ := strings.Cut(option, "=")
	switch option {
	case "whole":
		l.whole = true
		return true, nil
	case "single":
		l.single = true
		return true, nil
	}
	lower, upper := name == "min" || name == "over", name == "max" || name == "under"
	if !lower && !upper {
		return false, nil
	}
	figure, err := bom.ParseDecimal(text)
	if err != nil {
		return true, fmt.Errorf("option %s: %w", name, err)
	}
	if lower {
		l.lower, l.lowerOpen = &figure, name == "over"
	} else {
		l.upper, l.upperOpen = &figure, name == "under"
	}
	return true, nil
}

// breach says which bound a figure breaks, "" if none.
func (l limits) breach(figure decimal.Decimal) string {
	text := Digits(figure)
	if l.lower != nil {
		switch order := figure.Cmp(*l.lower); {
		case order < 0 && !l.lowerOpen:
			return fmt.Sprintf("%s is too small; it must be %s or more", text, l.lower)
		case order <= 0 && l.lowerOpen:
			return fmt.Sprintf("%s is too small; it must be more than %s", text, l.lower)
		}
	}
	if l.upper != nil {
		switch order := figure.Cmp(*l.upper); {
		case order > 0 && !l.upperOpen:
			return fmt.Sprintf("%s is too large; it must be %s or less", text, l.upper)
		case order >= 0 && l.upperOpen:
			return fmt.Sprintf("%s is too large; it must be less than %s", text, l.upper)
		}
	}
	if l.whole && !figure.IsInteger() {
		return fmt.Sprintf("%s must be a whole number", text)
	}
	return ""
}

// Digits writes a decimal with the places it was typed with: 12.50 stays
// 12.50.
func Digits(d decimal.Decimal) string { return d.StringFixed(max(0, -d.Exponent())) }
