package export

import (
	"fmt"
	"time"

	"kerfbook/bom"
)

// Meta describes a file to the person who opens it.
type Meta struct {
	Title   string // "Cost of mug, glow, 250 pieces"
	Subject string // one line below the title; "" for none
	Author  string // the shop
	// Day is the day the figures are for. It also dates the file, so that the
	// same figures make the same file whenever they are written.
	Day bom.Date
	// Cautions are shown on the first page, one paragraph each.
	Cautions []string
}

// DayError is a day that is not a date written YYYY-MM-DD.
type DayError struct{ Day string }

func (e *DayError) Error() string { return fmt.Sprintf("day %q is not a date", e.Day) }

// stamp gives the moment the file is dated with.
func (m *Meta) stamp() (time.Time, error) {
	t, err := time.Parse(time.DateOnly, string(m.Day))
	if err != nil || t.Year() < 1980 || t.Year() > 2100 { // zip entries begin in 1980
		return time.Time{}, &DayError{string(m.Day)}
	}
	return t, nil
}
