package money

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/shopspring/decimal"
)

// Decimal places as in the list ISO 4217 published on 2024-06-25.
func TestPlaces(t *testing.T) {
	for code, want := range map[string]int32{"JPY": 0, "KWD": 3, "CLF": 4, "EUR": 2, "IDR": 2, "HUF": 2, "IQD": 3} {
		if c, ok := Lookup(code); !ok || c.Places != want {
			t.Errorf("%s: %d places, found %t; want %d", code, c.Places, ok, want)
		}
	}
}

func TestMinorUnits(t *testing.T) {
	for code, want := range map[string]string{"EUR": "0.01", "JPY": "1", "KWD": "0.001", "CLF": "0.0001"} {
		c, _ := Lookup(code)
		if got := c.MinorUnit(); !got.Equal(decimal.RequireFromString(want)) {
			t.Errorf("%s: minor unit %s, want %s", code, got, want)
		}
	}
}

func TestListIsOrderedAndWhole(t *testing.T) {
	last := ""
	rows := regexp.MustCompile(`(?m)^([A-Z]{3}),([0-4]),([^,\s]?),(\S.+)$`).FindAllStringSubmatch(currencies, -1)
	for _, row := range rows {
		c, ok := Lookup(row[1])
		if !ok || c.Code <= last || c.Code != row[1] || fmt.Sprint(c.Places) != row[2] || c.Sign != row[3] || c.Name != row[4] {
			t.Errorf("entry %+v after %s", c, last)
		}
		last = c.Code
	}
	if n := len(rows); n < 150 || n != len(byCode) || n+1 != strings.Count(currencies, "\n") {
		t.Errorf("%d currencies", n)
	}
	if _, ok := Lookup("eur"); ok {
		t.Error("a code in small letters was found")
	}
}
