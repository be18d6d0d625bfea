package bom

import (
	"fmt"
	"regexp"
	"strings"

	"github.com/shopspring/decimal"
)

// Number is a decimal that a person typed: one figure, or a range of low,
// likely and high with its shape. For a single figure all three are equal.
type Number struct {
	Low, Likely, High decimal.Decimal
	IsRange           bool
	Shape             Shape           // of a range; Triangular where none is named
	SD                decimal.Decimal // deviation before cutting; Normal only
	// Missing says that the field wants a number and nobody has entered one. It then
	// counts as 0, and what rests on it says so.
	Missing bool
}

// Exactly gives the Number of a single figure.
func Exactly(d decimal.Decimal) Number { return Number{Low: d, Likely: d, High: d} }

// About is a number that somebody typed without having measured it: a fifth less to a fifth
// more.
func About(d decimal.Decimal) Number {
	if d.IsZero() {
		return Exactly(d)
	}
	times := func(share int64) decimal.Decimal { // written without zeros at its end
		out, _ := decimal.NewFromString(d.Mul(decimal.New(share, -1)).String())
		return out
	}
	return Number{IsRange: true, Low: times(8), Likely: d, High: times(12)}
}

// Whole gives the Number of a whole figure.
func Whole(n int64) Number { return Exactly(decimal.NewFromInt(n)) }

// Equal reports whether two numbers are the same figure or range.
func (n Number) Equal(m Number) bool {
	return n.IsRange == m.IsRange && n.Missing == m.Missing && n.Low.Equal(m.Low) && n.Likely.Equal(m.Likely) && n.High.Equal(m.High) &&
		n.Shape == m.Shape && n.SD.Equal(m.SD)
}

// Needed gives a number that something else wants, missing where nobody has entered it.
func Needed(n *Number) Number {
	if n == nil {
		return Number{Missing: true}
	}
	return *n
}

// MaxDigits is the most digits a typed decimal may have.
const MaxDigits = 34

// DecimalPattern is the regular expression of plain decimal notation.
const DecimalPattern = `^-?(0|[1-9][0-9]*)(\.[0-9]+)?$`

var plainDecimal = regexp.MustCompile(DecimalPattern)

// DecimalError is text that is no plain decimal.
type DecimalError struct {
	Text   string // shortened for display
	Reason string
}

func (e *DecimalError) Error() string { return fmt.Sprintf("%q: %s", e.Text, e.Reason) }

// ParseDecimal reads plain decimal notation of at most MaxDigits digits. The
// text is measured and matched before the decimal library sees it, so that no
// input can make it compute for long. The error is a *DecimalError.
func ParseDecimal(text string) (decimal.Decimal, error) {
	if len(text) > MaxDigits+2 || strings.Count(text, "")-1-strings.Count(text, ".")-strings.Count(text, "-") > MaxDigits {
		return decimal.Decimal{}, &DecimalError{Shorten(text), fmt.Sprintf("more than %d digits", MaxDigits)}
	}
	if !plainDecimal.MatchString(text) {
		return decimal.Decimal{}, &DecimalError{Shorten(text), decimalReason(text)}
	}
	return decimal.NewFromString(text)
}

// Shorten keeps what a message repeats of an input small.
func Shorten(text string) string {
	const most = 40
	if len(text) <= most {
		return text
	}
	return strings.ToValidUTF8(text[:most], "") + "…"
}

func decimalReason(text string) string {
	trimmed := strings.TrimLeft(text, "-+")
	switch {
	case text == "":
		return "a number is missing"
	case strings.ContainsAny(text, "eE") && strings.Trim(trimmed, "0123456789.eE+-") == "":
		return "write the number out, without an exponent"
	case strings.Contains(text, "_"):
		return "no underscores in numbers"
	case strings.Contains(text, ","):
		return "use a point for decimals and no thousands separator"
	case len(trimmed) > 1 && trimmed[0] == '0' && trimmed[1] != '.' && strings.Trim(trimmed, "0123456789.") == "":
		return "a leading zero is ambiguous; write the number without it"
	case strings.Trim(trimmed, "0123456789. ") != "" && trimmed != "" && trimmed[0] >= '0' && trimmed[0] <= '9':
		return "a number only; its unit is part of the field's name"
	default:
		return "not a plain decimal number such as 12.50"
	}
}

// ID names a record of the book: letters, digits, '.', '_' and '-', at most 40,
// starting with a letter or digit.
type ID string

// IDPattern is the regular expression of an ID.
const IDPattern = `^[A-Za-z0-9][A-Za-z0-9._-]{0,39}$`

var idForm = regexp.MustCompile(IDPattern)

// ParseID checks the form of an ID.
func ParseID(text string) (ID, error) {
	if !idForm.MatchString(text) {
		return "", fmt.Errorf("%q is not a name of letters, digits, '.', '_' or '-' (at most 40)", Shorten(text))
	}
	return ID(text), nil
}
