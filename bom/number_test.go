package bom_test

import (
	"errors"
	"math/big"
	"regexp"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
)

func TestParseDecimal(t *testing.T) {
	t.Parallel()
	for _, text := range []string{"0", "-0", "12", "12.50", "-0.001", "0.0", strings.Repeat("9", 34), "-" + strings.Repeat("9", 17) + "." + strings.Repeat("9", 17)} {
		got, err := bom.ParseDecimal(text)
		if err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		want, _ := new(big.Rat).SetString(text)
		if got.Rat().Cmp(want) != 0 {
			t.Errorf("%s is read as %s", text, got)
		}
		if places := len(text) - strings.IndexByte(text+".", '.') - 1; int(-got.Exponent()) != max(places, 0) {
			t.Errorf("%s keeps %d places", text, -got.Exponent())
		}
	}
}

func TestParseDecimalRefuses(t *testing.T) {
	t.Parallel()
	for text, reason := range map[string]string{
		"":                             "a number is missing",
		"1e999999999":                  "without an exponent",
		"1E5":                          "without an exponent",
		"-1e-5":                        "without an exponent",
		strings.Repeat("1", 35):        "more than 34 digits",
		strings.Repeat("1", 1000000):   "more than 34 digits",
		"0." + strings.Repeat("1", 34): "more than 34 digits",
		"NaN":                          "not a plain decimal",
		"Inf":                          "not a plain decimal",
		"1_000":                        "underscores",
		"1,000.00":                     "no thousands separator",
		"1,5":                          "use a point",
		"010":                          "leading zero",
		"00":                           "leading zero",
		"-01.5":                        "leading zero",
		"0x10":                         "a number only",
		"43.2 in":                      "its unit is part of the field's name",
		"12:30":                        "a number only",
		"+1":                           "not a plain decimal",
		"--1":                          "not a plain decimal",
		".5":                           "not a plain decimal",
		"5.":                           "not a plain decimal",
		"1.2.3":                        "not a plain decimal",
		" 1":                           "not a plain decimal",
		"1\n":                          "a number only",
		"−1":                           "not a plain decimal",
		"٣":                            "not a plain decimal",
	} {
		_, err := bom.ParseDecimal(text)
		var found *bom.DecimalError
		if !errors.As(err, &found) || !strings.Contains(found.Reason, reason) || len(err.Error()) > 150 {
			t.Errorf("%.40q: got %v, want %s", text, err, reason)
		}
	}
}

// A million digits must be refused before anything is computed with them.
func TestParseDecimalDoesNotWorkOnLongText(t *testing.T) {
	long := strings.Repeat("7", 1_000_000)
	const few = 20
	if allocs := testing.AllocsPerRun(10, func() { _, _ = bom.ParseDecimal(long) }); allocs > few {
		t.Errorf("%v allocations", allocs)
	}
}

func FuzzParseDecimal(f *testing.F) {
	for _, seed := range []string{"0", "12.50", "-3", "010", "1e9", "1_0", "NaN", "9.", ".9", "99999999999999999999999999999999999", "-0.00", "1,5", "0x1", "\xff", "１"} {
		f.Add(seed)
	}
	form := regexp.MustCompile(`\A-?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?\z`)
	f.Fuzz(func(t *testing.T, text string) {
		digits := 0
		for _, c := range []byte(text) {
			if c >= '0' && c <= '9' {
				digits++
			}
		}
		want := form.MatchString(text) && digits <= bom.MaxDigits
		got, err := bom.ParseDecimal(text)
		if (err == nil) != want {
			t.Fatalf("%q: got %v, %v", text, got, err)
		}
		if err != nil {
			return
		}
		if exact, ok := new(big.Rat).SetString(text); !ok || got.Rat().Cmp(exact) != 0 {
			t.Fatalf("%q is read as %s", text, got)
		}
	})
}

func TestParseDate(t *testing.T) {
	t.Parallel()
	for text, ok := range map[string]bool{
		"2026-11-25": true, "2024-02-29": true, "2026-02-29": false, "2026-1-5": false, "25.11.2026": false,
		"2026-11-25T00:00:00Z": false, "": false, strings.Repeat("1", 1000000): false,
	} {
		if _, err := bom.ParseDate(text); (err == nil) != ok {
			t.Errorf("%.30q: got %v", text, err)
		}
	}
}

func TestParseID(t *testing.T) {
	t.Parallel()
	for text, ok := range map[string]bool{
		"A": true, "010": true, "SINK-10.b_2": true, strings.Repeat("a", 40): true,
		strings.Repeat("a", 41): false, "": false, "-a": false, ".a": false, "a b": false, "a/b": false, "é": false, "a\n": false,
	} {
		if _, err := bom.ParseID(text); (err == nil) != ok {
			t.Errorf("%.50q: got %v", text, err)
		}
	}
}

func TestNumberEqual(t *testing.T) {
	t.Parallel()
	two, _ := bom.ParseDecimal("2.0")
	if !bom.Whole(2).Equal(bom.Exactly(two)) {
		t.Error("2 and 2.0 differ")
	}
	if bom.Whole(2).Equal(bom.Whole(3)) || bom.Whole(2).Equal(bom.Number{Low: two, Likely: two, High: two, IsRange: true}) {
		t.Error("different figures are equal")
	}
	bell := bom.Number{Low: two, Likely: two, High: two, IsRange: true, Shape: bom.Normal, SD: two}
	flat, steeper := bell, bell
	flat.Shape, flat.SD = bom.Uniform, decimal.Decimal{}
	steeper.SD = decimal.NewFromInt(1)
	if bell.Equal(flat) || bell.Equal(steeper) || !bell.Equal(bell) {
		t.Error("ranges are told apart by their figures alone")
	}
}
