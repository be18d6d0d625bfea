package form

import (
	"errors"
	"fmt"
	"math"
	"strconv"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/web/chart"
	"kerfbook/web/frame"
	"kerfbook/web/notation"
)

// The readers here go through notation, which decides what a text means, and add what
// a field of a form wants of it.

// Number reads the number typed into a field that counts in a unit, and writes beside
// the field what was understood, or what is wrong.
func Number(s notation.Style, f *frame.Field, unit string, found *frame.Problems) (plain string, ok bool) {
	n, err := s.Number(f.Value, unit)
	if err != nil {
		found.Wrong(f, err.Error())
		return "", false
	}
	f.Understood = n.Said
	return n.Plain, true
}

// TwoMeanings reports that a text could be two numbers. Who passes on a text that is no
// number, since it may be a word, refuses that one.
func TwoMeanings(err error) bool {
	var two *notation.TwoMeaningsError
	return errors.As(err, &two)
}

// Decimal reads a number for a field that counts in a unit.
func Decimal(s notation.Style, text, unit string) (decimal.Decimal, error) {
	n, err := s.Number(text, unit)
	if err != nil {
		return decimal.Decimal{}, err
	}
	return bom.ParseDecimal(n.Plain)
}

// Drawn draws a range as it is typed, in fields that count in a unit; nil for none.
func Drawn(s notation.Style, unit, low, likely, high, deviation, shape string) *chart.SpreadOf {
	number := func(text string) float64 {
		d, err := Decimal(s, text, unit)
		if err != nil {
			return math.NaN()
		}
		return d.InexactFloat64()
	}
	out, ok := chart.NewSpreadOf(number(low), number(likely), number(high), number(deviation), shape)
	if !ok {
		return nil
	}
	return &out
}

// ReadPercent reads a number of per cent, with or without its sign, as a share.
func ReadPercent(s notation.Style, text string) (decimal.Decimal, error) {
	d, err := Decimal(s, text, "%")
	if err != nil {
		return d, fmt.Errorf("enter a number of per cent such as 80 (%w)", err)
	}
	return d.Shift(-2), nil
}

// PercentText writes a share as per cent; anything else as it is.
func PercentText(share string) string {
	d, err := bom.ParseDecimal(share)
	if err != nil {
		return share
	}
	return d.Shift(2).String()
}

// ReadChance reads a chance in per cent, as a share. One below 1 % is more likely a
// share, which programs write.
func ReadChance(s notation.Style, text string) (decimal.Decimal, error) {
	d, err := ReadPercent(s, text)
	percent := d.Shift(2)
	switch {
	case err != nil:
		return d, err
	case percent.IsPositive() && percent.LessThan(decimal.New(1, 0)):
		return d, fmt.Errorf("%s %% - did you mean %s? A chance is given in per cent", bom.Shorten(percent.String()), bom.Shorten(percent.Shift(2).String()))
	case !percent.IsPositive(), !percent.LessThan(decimal.New(100, 0)):
		return d, fmt.Errorf("%s %% is no chance; give one between 0 and 100, such as 80", bom.Shorten(percent.String()))
	}
	return d, nil
}

// WholeNumber reads a count. One that is too large to be counted with is as large
// as can be, and refused as too many.
func WholeNumber(s notation.Style, text string) (int, error) {
	plain, err := s.Whole(text)
	if err != nil {
		return 0, err
	}
	n, err := strconv.Atoi(plain)
	if errors.Is(err, strconv.ErrRange) {
		return n, nil
	}
	return n, err
}
