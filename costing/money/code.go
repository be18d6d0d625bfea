package money

import (
	"fmt"
	"strings"
)

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
