package export

import (
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
)

// significantDigits is what spreadsheet programs keep of a number.
const significantDigits = 15

// cellNumber gives the binary number whose shortest decimal text is d, at most
// 15 digits of it; that text is what stands in the file. A number computed in
// binary would bring 11.149999999999999 where 11.15 was typed.
func cellNumber(d decimal.Decimal) float64 {
	if spare := d.NumDigits() - significantDigits; spare > 0 {
		d = d.Round(-d.Exponent() - int32(spare))
	}
	f, err := strconv.ParseFloat(d.String(), 64)
	if err != nil {
		return 0 // beyond 10^308; nodes end at 10^60
	}
	return f
}

// The number formats of cells.
const (
	general     = "General"
	money       = "#,##0.00"
	unitMoney   = "#,##0.0000"   // money per piece, hour or kilogram
	typedMoney  = "#,##0.00####" // shows all that was typed
	measured    = "#,##0.000"
	wholeNumber = "0"
	textFormat  = "@"
	verdict     = `[=1]"holds";[=0]"FAILS";General`
)

// numberFormat chooses the number format of a value by its unit. Typed numbers
// show every digit.
func numberFormat(unit string, kind graph.Kind) string {
	typed := kind != graph.Computed
	switch of := currencyOf(unit); {
	case of == unit && of != "" && !typed:
		return money
	case of != "" && !typed:
		return unitMoney
	case of != "":
		return typedMoney
	case unit == "" || unit == "piece" || typed:
		return general
	default:
		return measured
	}
}

// currencyOf gives the currency code within a unit, or "".
func currencyOf(unit string) string {
	for symbol := range strings.FieldsFuncSeq(unit, func(r rune) bool { return r == '/' || r == '·' }) {
		if len(symbol) == 3 && strings.ToUpper(symbol) == symbol && strings.Trim(symbol, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") == "" {
			return symbol
		}
	}
	return ""
}
