package money

import (
	_ "embed"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"
)

// Currency is one entry of the ISO 4217 list.
type Currency struct {
	Code string
	Name string
	// Places is the number of decimal places of the minor unit.
	Places int32
	// Sign is what people write for it, such as $; empty where it is seldom typed. Several
	// currencies share one.
	Sign string
}

// MinorUnit is the smallest amount: 0.01, 1 or 0.001.
func (c Currency) MinorUnit() decimal.Decimal { return decimal.New(1, -c.Places) }

// Lookup finds a currency by its code. ok is false for what is not on the list.
func Lookup(code string) (c Currency, ok bool) {
	c, ok = byCode[code]
	return c, ok
}

// currencies holds the codes of ISO 4217 that stand for money people pay with, as of
// the list of 2024-06-25 with the Caribbean guilder of 2025 added.
//
//go:embed currencies.csv
var currencies string

var byCode = read(currencies)

// Codes lists the codes of all currencies.
func Codes() []string { return slices.Sorted(maps.Keys(byCode)) }

func read(rows string) map[string]Currency {
	out := map[string]Currency{}
	for _, row := range strings.Split(strings.TrimSpace(rows), "\n")[1:] {
		code, rest, _ := strings.Cut(row, ",")
		places, rest, _ := strings.Cut(rest, ",")
		sign, name, _ := strings.Cut(rest, ",")
		n, _ := strconv.ParseInt(places, 10, 32) // a test reads every row
		out[code] = Currency{code, name, int32(n), sign}
	}
	return out
}

// Code is the ISO 4217 code of a currency.
type Code string

// CheckText checks the text of a currency code.
func (Code) CheckText(text string, _ bool) error {
	if _, ok := Lookup(text); ok {
		return nil
	}
	const codeLength = 3
	if len(text) != codeLength {
		return fmt.Errorf("a currency is a code of three capital letters such as EUR (ISO 4217)")
	}
	upper := strings.ToUpper(text)
	if _, ok := Lookup(upper); ok && upper != text {
		return fmt.Errorf("%q is not a currency code; write %s in capitals", text, upper)
	}
	return fmt.Errorf("%q is not a known currency code (ISO 4217)", text)
}
