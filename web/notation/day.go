package notation

import (
	"fmt"
	"regexp"
	"strings"
	"time"

	"kerfbook/bom"
)

// ShowDay writes a day in the person's order; text that is no day stays as it is.
func (s Style) ShowDay(d bom.Date) string {
	t, err := time.Parse(time.DateOnly, string(d))
	if err != nil {
		return string(d)
	}
	return t.Format(layouts[s.Days])
}

// ofDays are the layouts in words that people type beside their own.
var ofDays = []string{time.DateOnly, "2.1.2006", "2 Jan 2006", "2 January 2006", "Jan 2, 2006", "January 2, 2006", "2. January 2006"}

var inSlashes = regexp.MustCompile(`^[0-9]{1,2}/[0-9]{1,2}/[0-9]{4}$`)

// Day reads a day. Slashes are read in the person's order; without one, and where
// both could be the month, they are refused.
func (s Style) Day(text string) (bom.Date, error) {
	t := strings.Join(strings.Fields(text), " ")
	if inSlashes.MatchString(t) {
		dayFirst, err1 := time.Parse("2/1/2006", t)
		monthFirst, err2 := time.Parse("1/2/2006", t)
		switch {
		case err2 != nil && err1 == nil, err1 == nil && s.Days == Slashes, err1 == nil && dayFirst.Equal(monthFirst):
			return bom.Date(dayFirst.Format(time.DateOnly)), nil
		case err1 != nil && err2 == nil, err2 == nil && s.Days == MonthFirst:
			return bom.Date(monthFirst.Format(time.DateOnly)), nil
		case err1 == nil:
			return "", fmt.Errorf("%s could be %s or %s; write it as %s", t, dayFirst.Format("2 January"), monthFirst.Format("2 January"), dayFirst.Format(time.DateOnly))
		}
	}
	for _, layout := range ofDays {
		if d, err := time.Parse(layout, t); err == nil {
			return bom.Date(d.Format(time.DateOnly)), nil
		}
	}
	return "", fmt.Errorf("%s is not a day such as %s", bom.Shorten(text), s.ShowDay("2026-11-25"))
}
