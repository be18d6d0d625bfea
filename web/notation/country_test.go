package notation_test

import (
	"testing"

	"kerfbook/bom"
	"kerfbook/web/notation"
)

// TestCountry: every country is read by its code and by its name; what is none is not.
func TestCountry(t *testing.T) {
	t.Parallel()
	for _, code := range bom.Countries() {
		for _, typed := range []string{code, notation.CountryName(bom.Country(code))} {
			if got, ok := notation.Country(typed); !ok || string(got) != code {
				t.Errorf("%s is read as %s, %t; it is %s", typed, got, ok, code)
			}
		}
	}
	for typed, want := range map[string]bom.Country{"portugal": "PT", " de ": "DE", "UK": "GB", "the Netherlands": "NL", "cote d'ivoire": "CI", "Saint Nowhere": "", "": "", "D": "", "12": ""} {
		if got, ok := notation.Country(typed); ok != (want != "") || ok && got != want {
			t.Errorf("%q is read as %s, %t", typed, got, ok)
		}
	}
}
