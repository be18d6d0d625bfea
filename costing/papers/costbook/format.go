package costbook

import (
	"strings"

	"kerfbook/costing/graph"
	"kerfbook/costing/papers/xlsx"
)

// The number formats of figures, beside those of package xlsx.
const (
	unitMoney  = "#,##0.0000"   // money per piece, hour or kilogram
	typedMoney = "#,##0.00####" // shows all that was typed
	measured   = "#,##0.000"
	verdict    = `[=1]"holds";[=0]"FAILS";General`
)

// numberFormat chooses the number format of a value by its unit. Typed numbers
// show every digit.
func numberFormat(unit string, kind graph.Kind) string {
	typed := kind != graph.Computed
	switch of := currencyOf(unit); {
	case of == unit && of != "" && !typed:
		return xlsx.Money
	case of != "" && !typed:
		return unitMoney
	case of != "":
		return typedMoney
	case unit == "" || unit == "piece" || typed:
		return xlsx.General
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

// lookOf chooses the look of a value cell.
func lookOf(kind graph.Kind) xlsx.Look {
	switch kind {
	case graph.Input:
		return xlsx.Typed
	case graph.Decision:
		return xlsx.Decided
	case graph.Fixed:
		return xlsx.Constant
	default:
		return xlsx.Plain
	}
}
