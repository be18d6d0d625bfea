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

// Word writes a style so that it can be kept: point.year-first.
func (s Style) Word() string {
	mark := "point"
	if s.Comma {
		mark = "comma"
	}
	return mark + "." + dayWords[s.Days]
}

// OfWord reads what Word wrote; false for anything else.
func OfWord(word string) (Style, bool) {
	mark, days, _ := strings.Cut(word, ".")
	at := slices.Index(dayWords[:], days)
	if at < 0 || mark != "point" && mark != "comma" {
		return Style{}, false
	}
	return Style{mark == "comma", DayOrder(at)}, true
}

// Text writes a number in plain notation with the person's decimal mark.
func (s Style) Text(plain string) string {
	if s.Comma {
		return strings.Replace(plain, ".", ",", 1)
	}
	return plain
}
