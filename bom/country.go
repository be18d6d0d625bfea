package bom

import (
	_ "embed"
	"fmt"
	"strings"
)

// countryCodes are the 249 officially assigned codes of ISO 3166-1 alpha-2, as
// of 2024.
//
//go:embed countries.txt
var countryCodes string

var countries = codeSet(countryCodes)

func codeSet(codes string) map[Country]bool {
	set := map[Country]bool{}
	for code := range strings.FieldsSeq(codes) {
		set[Country(code)] = true
	}
	return set
}

// Countries lists the codes that are known.
func Countries() []string { return strings.Fields(countryCodes) }

// Known reports whether the code is assigned to a country.
func (c Country) Known() bool { return countries[c] }

// CheckText checks the text of a country code. A bare NO is refused, because
// other readers of the same file would take it for false.
func (Country) CheckText(text string, quoted bool) error {
	upper := Country(strings.ToUpper(text))
	switch {
	case upper == "NO" && !quoted:
		return fmt.Errorf("for Norway write \"NO\" in quotes; a bare %s is read as false by some programs", text)
	case Country(text).Known():
		return nil
	case text == "UK":
		return fmt.Errorf("the code of the United Kingdom is GB")
	case text == "EL":
		return fmt.Errorf("the code of Greece is GR")
	case upper.Known():
		return fmt.Errorf("%q is not a country code; write %s in capitals", text, upper)
	}
	return fmt.Errorf("%q is not a country code of two capital letters such as PT (ISO 3166-1)", Shorten(text))
}
