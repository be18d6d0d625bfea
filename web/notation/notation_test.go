package notation

import (
	"strings"
	"testing"

	"kerfbook/bom"
)

func TestNumber(t *testing.T) {
	t.Parallel()
	point, comma := Style{}, Style{Comma: true}
	for _, c := range []struct {
		style       Style
		text, unit  string
		plain, said string // plain empty: refused, for the reason in said
	}{
		{point, "12.50", "mm", "12.50", ""},
		{point, "12,5", "mm", "12.5", "12.5 mm"},
		{comma, "12,5", "mm", "12.5", ""},
		{comma, "12.5", "mm", "12.5", "12,5 mm"},
		{comma, "12,5 mm", "mm", "12.5", ""},
		{point, "1.234,5", "mm", "1234.5", "1234.5 mm"},
		{comma, "1,234.5", "mm", "1234.5", "1234,5 mm"},
		{comma, "1.234,5", "mm", "1234.5", "1234,5 mm"},
		{point, "1,234.50", "EUR", "1234.50", "1234.50 EUR"},
		{point, "1 234.5", "mm", "1234.5", "1234.5 mm"},
		{point, "1'234.5", "mm", "1234.5", "1234.5 mm"},
		{point, "1,234,567", "mm", "1234567", "1234567 mm"},
		{comma, "1.234.567,8", "mm", "1234567.8", "1234567,8 mm"},
		{point, "1.234", "mm", "1.234", ""},
		{comma, "1,234", "mm", "1.234", ""},
		{point, "1,234", "mm", "", "1234 or 1.234"},
		{comma, "1.234", "mm", "", "1234 or 1,234"},
		{comma, "0.125", "mm", "0.125", "0,125 mm"},
		{point, "12 5", "mm", "", "groups of three"},
		{point, "1,23,456", "mm", "", "groups of three"},
		{point, "1.2.3", "mm", "", "1.2.3"},
		{point, ".5", "mm", "0.5", "0.5 mm"},
		{point, "\u22125,5", "mm", "-5.5", "-5.5 mm"},
		{point, "+5", "mm", "5", "5 mm"},
		{point, "007", "mm", "", "leading zero"},
		{point, "1e3", "mm", "", "counted in mm"},
		{point, "", "mm", "", "missing"},
		{point, "about ten", "mm", "", "not a number"},
		{point, "10-12", "mm", "", "counted in mm"},
		{point, strings.Repeat("9", 40), "mm", "", "34 digits"},

		{point, "Ø30", "mm", "30", "30 mm"},
		{point, "⌀ 30 mm", "mm", "30", "30 mm"},
		{point, "Ø30", "kg", "", "counted in kg"},
		{point, "3/8 in", "mm", "9.525", "9.525 mm"},
		{comma, `3/8"`, "mm", "9.525", "9,525 mm"},
		{point, `1 1/2"`, "mm", "38.1", "38.1 mm"},
		{point, "1-1/2 in", "mm", "38.1", "38.1 mm"},
		{point, "1/0 in", "mm", "", "divided by 0"},
		{point, "1,2 cm", "mm", "12", "12 mm"},
		{point, "25 µm", "mm", "0.025", "0.025 mm"},
		{point, "1 ft", "in", "12", "12 in"},
		{point, "2 kg", "mm", "", "cm, dm, m, in, ft are understood"},
		{point, "1/3", "", "0.333333333333", "0.333333333333"},

		{point, "1 h 20", "min", "80", "80 min"},
		{point, "1h20", "min", "80", "80 min"},
		{point, "1 h 20 min", "min", "80", "80 min"},
		{point, "1h 20", "h", "1.333333333333", "1.333333333333 h"},
		{point, "1 h 75", "min", "", "counted in min"},
		{point, "5 min 30", "min", "5.5", "5.5 min"},
		{point, "90 s", "min", "1.5", "1.5 min"},
		{comma, "1,5 h", "min", "90", "90 min"},
		{point, "1 h 20", "mm", "", "counted in mm"},

		{point, "5 %", "share", "0.05", "0.05, 5 %"},
		{comma, "12,5%", "share", "0.125", "0,125, 12,5 %"},
		{point, "0.05", "share", "0.05", ""},
		{point, "5 %", "%", "5", ""},
		{point, "5 %", "", "0.05", "0.05"},
		{point, "5 %", "mm", "", "counted in mm"},
		{point, "5 mm", "share", "", "per cent"},

		{point, "12,50 €", "EUR", "12.50", "12.50 EUR"},
		{point, "€ 58", "EUR/h", "58", "58 EUR/h"},
		{point, "58 €/h", "EUR/h", "58", "58 EUR/h"},
		{point, "58 €/h", "EUR per h", "58", "58 EUR per h"},
		{point, "2 %", "share per year", "0.02", "0.02 share per year"},
		{point, "12 €", "money", "", "counted in money"},
		{Style{Money: "EUR"}, "58 €/h", "money per h", "58", "58 EUR per h"},
		{Style{Money: "EUR"}, "58 $/h", "money per h", "", "counted in EUR per h"},
		{point, "EUR 58", "EUR", "58", "58 EUR"},
		{point, "58 $", "EUR", "", "counted in EUR"},
		{point, "100 pieces", "piece", "100", "100 piece"},
		{point, "2 lb", "g", "907.18474", "907.18474 g"},
		{point, "1 in²", "mm²", "645.16", "645.16 mm²"},
		{point, "800 W", "kW", "0.8", "0.8 kW"},
	} {
		n, err := c.style.Number(c.text, c.unit)
		switch {
		case c.plain == "" && (err == nil || !strings.Contains(err.Error(), c.said)):
			t.Errorf("%q in %s: %+v, %v; want it refused for %q", c.text, c.unit, n, err, c.said)
		case c.plain != "" && (err != nil || n != Number{c.plain, c.said}):
			t.Errorf("%q in %s: %+v, %v; want %s, said %q", c.text, c.unit, n, err, c.plain, c.said)
		}
	}
}

func TestWhole(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		style       Style
		text, plain string
	}{
		{Style{}, "1000", "1000"}, {Style{}, "1,000", "1000"}, {Style{Comma: true}, "1.500", "1500"}, {Style{}, "1 000 pcs", "1000"},
		{Style{}, "1.000", ""}, {Style{Comma: true}, "1,000", ""}, {Style{}, "1.000.000", "1000000"}, {Style{}, "100 pieces", "100"},
		{Style{}, "1.500", "1.500"}, // no count, which the reader of counts says
		{Style{}, "", ""}, {Style{}, "many", ""},
	} {
		plain, err := c.style.Whole(c.text)
		if plain != c.plain || (err != nil) != (c.plain == "") {
			t.Errorf("%q: %q, %v; want %q", c.text, plain, err, c.plain)
		}
	}
}

// TestReadsWhatItWrites: what a field shows is read back as it was, in every style.
func TestReadsWhatItWrites(t *testing.T) {
	t.Parallel()
	for _, s := range []Style{{}, {Comma: true}} {
		for _, plain := range []string{"0", "1", "-1", "0.5", "1.234", "1000", "1234.567", "12345678.90", "0.001", "-1.000"} {
			for _, unit := range []string{"", "mm", "min", "share", "EUR/h"} {
				if n, err := s.Number(s.Text(plain), unit); err != nil || n.Plain != plain || n.Said != "" {
					t.Errorf("%+v: %s in %s is read as %+v, %v", s, plain, unit, n, err)
				}
			}
		}
	}
	for days := range dayOrderCount {
		s := Style{Days: days}
		for _, d := range []bom.Date{"2026-11-25", "2026-03-04", "2028-02-29", "2026-12-01"} {
			if back, err := s.Day(s.ShowDay(d)); err != nil || back != d {
				t.Errorf("%s written as %s is read as %s, %v", d, s.ShowDay(d), back, err)
			}
		}
		if back, ok := OfWords(s.Words()); !ok || back != s {
			t.Errorf("%+v is kept and read as %+v", s, back)
		}
	}
}

func TestDay(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		days      DayOrder
		text, day string // empty: refused
	}{
		{YearFirst, "2026-11-25", "2026-11-25"}, {YearFirst, "25.11.2026", "2026-11-25"}, {MonthFirst, "4.3.2026", "2026-03-04"},
		{YearFirst, "25 Nov 2026", "2026-11-25"}, {Dots, "November 25, 2026", "2026-11-25"}, {YearFirst, "25/11/2026", "2026-11-25"},
		{YearFirst, "11/25/2026", "2026-11-25"}, {YearFirst, "3/4/2026", ""}, {Slashes, "3/4/2026", "2026-04-03"}, {MonthFirst, "3/4/2026", "2026-03-04"},
		{YearFirst, "5/5/2026", "2026-05-05"}, {YearFirst, "30/2/2026", ""}, {Dots, "25.11.26", ""}, {Dots, "", ""}, {Dots, "soon", ""},
	} {
		day, err := Style{Days: c.days}.Day(c.text)
		if string(day) != c.day || (err != nil) != (c.day == "") {
			t.Errorf("%q in order %d: %q, %v; want %q", c.text, c.days, day, err, c.day)
		}
	}
}

func TestOfLanguages(t *testing.T) {
	t.Parallel()
	for accepted, want := range map[string]Style{
		"":                            {},
		"en-US,en;q=0.9":              {},
		"en-GB":                       {},
		"de-DE,de;q=0.9,en;q=0.8":     {Comma: true, Days: Dots},
		"de-CH":                       {Days: Dots},
		"pt-PT":                       {Comma: true, Days: Slashes},
		"fr":                          {Comma: true, Days: Slashes},
		"es-MX":                       {Days: Slashes},
		"nl":                          {Comma: true},
		"ja":                          {},
		"*":                           {},
		"q=;;,":                       {},
		strings.Repeat("de,", 100000): {},
	} {
		if got := OfLanguages(accepted); got != want {
			t.Errorf("%.30q: %+v, want %+v", accepted, got, want)
		}
	}
}

// FuzzNumber: whatever is typed is refused or gives plain notation.
func FuzzNumber(f *testing.F) {
	for _, text := range []string{"12,5", "1.234,5", "3/8 in", "1 h 20", "5 %", "Ø30", "€ 12", "1'000"} {
		f.Add(text, "mm", true)
	}
	f.Fuzz(func(t *testing.T, text, unit string, comma bool) {
		s := Style{Comma: comma}
		if n, err := s.Number(text, unit); err == nil {
			if _, err := bom.ParseDecimal(n.Plain); err != nil {
				t.Errorf("%q in %q gives %q: %v", text, unit, n.Plain, err)
			}
		}
	})
}
