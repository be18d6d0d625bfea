package form

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/web/frame"
)

// ReadPercent reads a number of per cent, with or without its sign, as a share.
func ReadPercent(text string) (decimal.Decimal, error) {
	d, err := bom.ParseDecimal(strings.TrimSuffix(frame.TidyNumber(text), "%"))
	if err != nil {
		return d, fmt.Errorf("enter a number of per cent such as 80 (%w)", err)
	}
	return d.Shift(-2), nil
}

// ReadChance reads a chance in per cent, as a share. One below 1 % is more likely a
// share, which programs write.
func ReadChance(text string) (decimal.Decimal, error) {
	d, err := ReadPercent(text)
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
func WholeNumber(text string) (int, error) {
	n, err := strconv.Atoi(frame.TidyNumber(text))
	if errors.Is(err, strconv.ErrRange) {
		return n, nil
	}
	return n, err
}

func DecimalTyped(text string) (decimal.Decimal, error) {
	return bom.ParseDecimal(frame.TidyNumber(text))
}
