// Package show writes figures, units and days as text for people. It rounds for
// the eye only: what it prints is never computed with.
package show

import (
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/costing/money"
)

// Places writes a number with a fixed number of decimals, halves away from
// zero.
func Places(d decimal.Decimal, places int32) string { return d.StringFixed(places) }

// Money writes an amount with the decimals its currency has.
func Money(d decimal.Decimal, code string) string {
	if c, ok := money.Lookup(code); ok {
		return d.StringFixed(c.Places)
	}
	return d.StringFixed(2)
}

// Percent writes a share such as 0.3519 as "35.2 %".
func Percent(share decimal.Decimal) string { return share.Shift(2).StringFixed(1) + " %" }

// PercentPlaces writes a share as a number of per cent with a fixed number of
// decimals: 0.3519 as "35.190" with three.
func PercentPlaces(share decimal.Decimal, places int32) string {
	return share.Shift(2).StringFixed(places)
}

// Tenths writes a share such as 0.79 as "8 of 10".
func Tenths(share decimal.Decimal) string { return share.Shift(1).StringFixed(0) + " of 10" }

// Full writes a number with all its digits, or with twelve significant ones and
// an ellipsis where it has more.
func Full(d decimal.Decimal) string {
	if d.NumDigits() <= 12 {
		return d.String()
	}
	before := int32(d.NumDigits()) + d.Exponent() // digits before the point
	text := strings.TrimRight(d.Truncate(max(0, 12-before)).String(), "0")
	return strings.TrimSuffix(text, ".") + "…"
}

// WithUnit puts a unit behind a number.
func WithUnit(number, unit string) string {
	if unit == "" {
		return number
	}
	return number + " " + unit
}
