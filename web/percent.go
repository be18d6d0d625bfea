package web

import (
	"fmt"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
)

// readPercent reads a number of per cent, with or without its sign, as a share.
func readPercent(text string) (decimal.Decimal, error) {
	d, err := bom.ParseDecimal(strings.TrimSuffix(tidyNumber(text), "%"))
	if err != nil {
		return d, fmt.Errorf("enter a number of per cent such as 80 (%w)", err)
	}
	return d.Shift(-2), nil
}
