package study

import (
	"fmt"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/study"
	"kerfbook/costing/book/field"
	"kerfbook/costing/money"
	"kerfbook/costing/papers/show"
	"kerfbook/web/chart"
	"kerfbook/web/frame"
)

// manner is how numbers of one unit are written.
type manner struct {
	unit    string
	percent bool
	places  int32 // decimals of money; -1 where the number itself decides
}

// mannerOf reads what a figure is: only what is known to be a share is told in per
// cent.
func mannerOf(f answer.Figure) manner {
	m := mannerOfUnit(f.Unit)
	m.percent = f.IsShare()
	return m
}

// mannerOfUnit reads a unit: money has the decimals of its currency. An exchange
// rate is no money.
func mannerOfUnit(unit string) manner {
	code, per, _ := strings.Cut(unit, "/")
	_, rate := money.Lookup(per)
	if c, ok := money.Lookup(code); ok && !rate {
		return manner{unit: unit, places: c.Places}
	}
	return manner{unit: unit, places: -1}
}

// words names the unit on an axis and in the head of a column.
func (m manner) words() string {
	switch {
	case m.percent:
		return "share"
	case strings.HasSuffix(m.unit, "/piece"):
		return strings.TrimSuffix(m.unit, "/piece") + " per piece"
	}
	return m.unit
}

// behind puts the words for the unit, if there are any, behind a heading.
func (m manner) behind(heading string) string {
	if m.words() == "" {
		return heading
	}
	return heading + ", " + m.words()
}

// write shows a figure in the manner of its unit.
func (m manner) write(l frame.Linker, f answer.Figure) frame.Fig { return l.Write(f, m.text) }

func (m manner) text(d decimal.Decimal) string {
	switch {
	case m.percent:
		return show.Percent(d)
	case m.places >= 0:
		return show.Places(d, m.places)
	}
	return significant(d, shownDigits)
}

// estimated writes a statistic with its error beside it: as many decimals as the
// error leaves meaning to, but of money no more than the currency has.
func (m manner) estimated(s study.Statistic) (value, err string) {
	v, e, ok := numbers(s)
	if !ok {
		return "", ""
	}
	if m.percent {
		places := min(2, max(1, leadPlace(e)-2))
		return frame.Minus(show.PercentPlaces(v, places)) + " %", show.PercentPlaces(e, max(places, leadPlace(e)-2)) + " points"
	}
	places := leadPlace(e)
	if m.places >= 0 {
		places = min(places, m.places)
	}
	return frame.Minus(show.Places(v, places)), show.Places(e, max(places, leadPlace(e)))
}

func numbers(s study.Statistic) (v, e decimal.Decimal, ok bool) {
	v, err := decimal.NewFromString(s.Value)
	if err != nil {
		return v, e, false
	}
	if s.Error != "" {
		e, err = decimal.NewFromString(s.Error)
	}
	return v, e, err == nil
}

const shownDigits = 4

// significant writes a number with a few significant digits, as far as they are
// decimals.
func significant(d decimal.Decimal, digits int32) string {
	places := max(0, leadPlace(d)+digits-1)
	if -d.Exponent() <= places {
		return d.String()
	}
	text := d.StringFixed(places)
	if strings.Contains(text, ".") {
		text = strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
	}
	return text
}

// leadPlace is the decimal that the first digit of a number stands at: 2 for
// 0.034, 0 for whole numbers and zero.
func leadPlace(d decimal.Decimal) int32 {
	if d.IsZero() {
		return 0
	}
	return max(0, 1-int32(d.NumDigits())-d.Exponent())
}

// tally makes marks of the numbers of an answer that are no figures of the batch.
// Such a number is known by its place in the answer, which is the same for
// programs.
type tally struct {
	manner manner
	at     string // place of what holds the numbers
}

// in gives the place of something inside.
func (t tally) in(format string, args ...any) tally {
	t.at += "/" + fmt.Sprintf(format, args...)
	return t
}

// statistic makes marks of a statistic and its error.
func (t tally) statistic(label string, s study.Statistic) (value, err chart.Mark) {
	v, e := t.manner.estimated(s)
	value = chart.Mark{Label: label, Text: v, Stat: t.at + "/value", Value: s.Value}
	err = chart.Mark{Label: "standard error", Text: e, Stat: t.at + "/standard_error", Value: s.Error}
	return value, err
}

// number makes a mark of an exact number.
func (t tally) number(label, value string) chart.Mark {
	d, err := decimal.NewFromString(value)
	if err != nil {
		return chart.Mark{Label: label}
	}
	return chart.Mark{Label: label, Text: frame.Minus(t.manner.text(d)), Stat: t.at, Value: value}
}

// count makes a mark of a whole number.
func (t tally) count(n int) chart.Mark {
	text := fmt.Sprint(n)
	return chart.Mark{Text: grouped(text), Stat: t.at, Value: text}
}

// grouped sets off thousands, which long counts need to be read.
func grouped(digits string) string {
	for i := len(digits) - 3; i > 0; i -= 3 {
		digits = digits[:i] + "\u202f" + digits[i:]
	}
	return digits
}

// markOf makes a mark of a figure.
func markOf(f frame.Fig) chart.Mark {
	return chart.Mark{Label: f.Label, Text: f.Text, Key: f.Key, Value: f.Value, Href: f.Href}
}

// called gives a mark another name.
func called(label string, m chart.Mark) chart.Mark {
	m.Label = label
	return m
}

// percentText writes a share of an answer as a number of per cent.
func percentText(share string) string {
	d, err := decimal.NewFromString(share)
	if err != nil {
		return share
	}
	return show.PercentPlaces(d, max(0, leadExponent(d)))
}

// leadExponent is how many decimals a share has as a percentage.
func leadExponent(d decimal.Decimal) int32 { return -d.Exponent() - 2 }

// inWords names a figure with the thing it is of.
func inWords(f answer.Figure) string {
	if f.Of == "" {
		return f.Label
	}
	return field.Spoken(f.Of) + ": " + f.Label
}
