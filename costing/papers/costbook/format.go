package costbook

import (
	"strings"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/workbook"
	"kerfbook/costing/money"
	"kerfbook/costing/papers/xlsx"
)

// The number formats of figures, beside those of package xlsx.
const (
	typedMoney = "#,##0.00####" // shows all that was typed
	measured   = "#,##0.000"
	verdict    = `[=1]"holds";[Red][=0]"FAILS";General`
)

// numberFormat chooses the number format of a value by its unit. Typed numbers
// show every digit.
func numberFormat(unit string, kind graph.Kind) string {
	typed := kind != graph.Computed
	switch of := currencyOf(unit); {
	case of == unit && of != "" && !typed:
		return amount(of, 0)
	case of != "" && !typed:
		return amount(of, 2)
	case of != "":
		return typedMoney
	case unit == "" || unit == "piece" || typed:
		return xlsx.General
	default:
		return measured
	}
}

// percent shows a share, of a typed one every digit.
func percent(r *workbook.Row) string {
	if places := -int(r.Value.Exponent()) - 2; r.Kind != graph.Computed && places != 1 {
		return "0" + strings.TrimSuffix("."+strings.Repeat("0", max(0, places)), ".") + "%"
	}
	return xlsx.Percent
}

// amount shows money to its minor unit and some places beyond.
func amount(code string, beyond int) string {
	c, _ := money.Lookup(code)
	if places := int(c.Places) + beyond; places > 0 {
		return "#,##0." + strings.Repeat("0", places)
	}
	return "#,##0"
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
