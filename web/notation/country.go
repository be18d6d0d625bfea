package notation

import (
	"strings"
	"unicode"

	"golang.org/x/text/language"
	"golang.org/x/text/language/display"
	"golang.org/x/text/unicode/norm"

	"kerfbook/bom"
)

// CountryName is what a country is called in English; its code where nobody knows.
func CountryName(code bom.Country) string {
	region, err := language.ParseRegion(string(code))
	if err != nil {
		return string(code)
	}
	return strings.TrimSuffix(display.English.Regions().Name(region), " SAR China")
}

// Country reads a country by its code or its English name, whatever the case and accents.
func Country(typed string) (bom.Country, bool) {
	code := bom.Country(strings.ToUpper(strings.TrimSpace(typed)))
	if code.Known() {
		return code, true
	}
	name := letters(typed)
	if listed, often := oftenCalled[name]; often {
		name = listed
	}
	if name == "" {
		return code, false
	}
	for _, code := range bom.Countries() {
		if letters(CountryName(bom.Country(code))) == name {
			return bom.Country(code), true
		}
	}
	return code, false
}

// oftenCalled are names that are used beside those of the list.
var oftenCalled = map[string]string{"uk": "unitedkingdom", "greatbritain": "unitedkingdom", "usa": "unitedstates", "unitedstatesofamerica": "unitedstates", "czechrepublic": "czechia"}

// letters leaves of a name what is compared: small letters without accents, and no article.
func letters(name string) string {
	name = strings.ReplaceAll(strings.ToLower(strings.TrimSpace(name)), "&", "and")
	return strings.Map(func(r rune) rune {
		if !unicode.IsLetter(r) {
			return -1
		}
		return r
	}, norm.NFD.String(strings.TrimPrefix(name, "the ")))
}
