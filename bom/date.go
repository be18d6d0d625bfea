package bom

import (
	"fmt"
	"strconv"
	"time"
)

// Date is a civil day, YYYY-MM-DD. Dates compare as text.
type Date string

// ParseDate checks a civil day.
func ParseDate(text string) (Date, error) {
	if _, err := time.Parse(time.DateOnly, text); err != nil {
		return "", fmt.Errorf("%q is not a day such as 2026-11-25", Shorten(text))
	}
	return Date(text), nil
}

// Words writes a day so that nobody takes the month for the day: 25 November 2026.
// Text that is no day comes back as it is.
func (d Date) Words() string {
	t, err := time.Parse(time.DateOnly, string(d))
	if err != nil {
		return string(d)
	}
	return strconv.Itoa(t.Day()) + " " + t.Month().String() + " " + strconv.Itoa(t.Year())
}

// DaysUntil counts the days from a day to a later one; 0 where either is no day.
func (d Date) DaysUntil(later Date) int {
	from, err1 := time.Parse(time.DateOnly, string(d))
	to, err2 := time.Parse(time.DateOnly, string(later))
	if err1 != nil || err2 != nil {
		return 0
	}
	const day = 24 * time.Hour
	return int(to.Sub(from) / day)
}

// Plus counts days on; text that is no day stays as it is.
func (d Date) Plus(days int) Date {
	t, err := time.Parse(time.DateOnly, string(d))
	if err != nil {
		return d
	}
	return Date(t.AddDate(0, 0, days).Format(time.DateOnly))
}
