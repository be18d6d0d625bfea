package quote

import (
	"time"

	"kerfbook/bom"
)

// daysAfter counts days on from a civil day.
func daysAfter(day bom.Date, days int) bom.Date {
	t, err := time.Parse(time.DateOnly, string(day))
	if err != nil {
		return day
	}
	return bom.Date(t.AddDate(0, 0, days).Format(time.DateOnly))
}
