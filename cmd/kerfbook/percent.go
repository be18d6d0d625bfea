package main

import (
	"fmt"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
)

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
