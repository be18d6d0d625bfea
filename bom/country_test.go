package bom_test

import (
	"strings"
	"testing"

	"kerfbook/bom"
)

func TestCountryCheckText(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		text   string
		quoted bool
		want   string // part of the error, "" for none
	}{
		{"PT", false, ""}, {"NO", true, ""}, {"NO", false, `write "NO" in quotes`}, {"no", false, `write "NO" in quotes`},
		{"no", true, "write NO in capitals"}, {"pt", false, "write PT in capitals"}, {"UK", false, "is GB"}, {"EL", true, "is GR"},
		{"XX", true, "ISO 3166-1"}, {"PRT", true, "ISO 3166-1"}, {"", true, "ISO 3166-1"}, {strings.Repeat("P", 10000), true, "ISO 3166-1"},
	} {
		err := bom.Country("").CheckText(c.text, c.quoted)
		if c.want == "" && err != nil || c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
			t.Errorf("%.20q, quoted %v: got %v, want %q", c.text, c.quoted, err, c.want)
		}
	}
}

// ISO 3166-1 has 249 officially assigned alpha-2 codes.
func TestCountriesAreAll(t *testing.T) {
	t.Parallel()
	count := 0
	for a := 'A'; a <= 'Z'; a++ {
		for b := 'A'; b <= 'Z'; b++ {
			if bom.Country([]rune{a, b}).Known() {
				count++
			}
		}
	}
	const assigned = 249
	if count != assigned {
		t.Errorf("%d countries, want %d", count, assigned)
	}
}
