package notation

import (
	"slices"
	"strings"

	"golang.org/x/text/language"
	"golang.org/x/text/message"
	"golang.org/x/text/number"
)

// Style is how one person writes. The zero Style has a decimal point and days such
// as 2026-11-25.
type Style struct {
	Comma bool // the decimal mark is a comma
	Days  DayOrder
	Money string // the currency that is meant where a field counts in money
}

// DayOrder is a way of writing days.
type DayOrder int

// The ways of writing a day.
const (
	YearFirst     DayOrder = iota // 2026-11-25
	Dots                          // 25.11.2026
	Slashes                       // 25/11/2026
	MonthFirst                    // 11/25/2026
	MonthInWords                  // 25 Nov 2026
	dayOrderCount                 // how many there are
)

// layouts write days, by their order.
var layouts = [dayOrderCount]string{"2006-01-02", "02.01.2006", "02/01/2006", "01/02/2006", "2 Jan 2006"}

// dayWords stand for the orders in a setting that is kept.
var dayWords = [dayOrderCount]string{"year-first", "dots", "slashes", "month-first", "words"}

// mostLanguages is longer than the list of any browser.
const mostLanguages = 500

// OfLanguages is the style that a browser's list of languages suggests: the mark of the
// first one. Days are only written with figures alone where nobody who reads that
// language takes the month for the day; English, which many browsers say for want of
// another, keeps the year first.
func OfLanguages(accepted string) Style {
	if len(accepted) > mostLanguages {
		return Style{}
	}
	tags, _, err := language.ParseAcceptLanguage(accepted)
	if err != nil || len(tags) == 0 {
		return Style{}
	}
	s := Style{Comma: strings.Contains(message.NewPrinter(tags[0]).Sprint(number.Decimal(1.5)), ",")}
	switch base, _ := tags[0].Base(); base.String() {
	case "de", "cs", "da", "et", "fi", "hr", "nb", "nn", "no", "pl", "ro", "sk", "sl", "tr":
		s.Days = Dots
	case "fr", "pt", "es", "it", "el", "ca", "gl":
		s.Days = Slashes
	}
	return s
}

// Words name a style so that it can be kept: its decimal mark, and its order of days.
func (s Style) Words() (mark, days string) {
	if s.Comma {
		return "comma", dayWords[s.Days]
	}
	return "point", dayWords[s.Days]
}

// OfWords reads what Words wrote; false for anything else.
func OfWords(mark, days string) (Style, bool) {
	at := slices.Index(dayWords[:], days)
	if at < 0 || mark != "point" && mark != "comma" {
		return Style{}, false
	}
	return Style{Comma: mark == "comma", Days: DayOrder(at)}, true
}

// Way is one to choose, with the word that is kept.
type Way struct{ Word, Example string }

// Marks lists the decimal marks.
func Marks() []Way { return []Way{{"point", "12.5"}, {"comma", "12,5"}} }

// Orders lists the ways of writing days.
func Orders() []Way {
	var out []Way
	for o := range dayOrderCount {
		out = append(out, Way{dayWords[o], Style{Days: o}.ShowDay("2026-11-25")})
	}
	return out
}

// Text writes a number in plain notation with the person's decimal mark.
func (s Style) Text(plain string) string {
	if s.Comma {
		return strings.Replace(plain, ".", ",", 1)
	}
	return plain
}
