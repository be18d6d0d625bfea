package book

import (
	"fmt"
	"time"
	_ "time/tzdata" // machines without zone data, such as containers

	"kerfbook/bom"
)

// TimeZone names the zone a shop lives in, as the IANA database does: Europe/Lisbon.
type TimeZone string

// CheckText refuses what is no time zone.
func (TimeZone) CheckText(text string, _ bool) error {
	if _, err := time.LoadLocation(text); err != nil || text == "" || text == "Local" {
		return fmt.Errorf("%q is no time zone; name one of the IANA database, such as Europe/Lisbon", text)
	}
	return nil
}

// Day is the day it is in the zone at an instant, and by UTC where none is named.
// It is the only place where an instant becomes a day.
func (z TimeZone) Day(at time.Time) bom.Date {
	place, err := time.LoadLocation(string(z))
	if err != nil { // of a record written by hand into a database
		place = time.UTC
	}
	return bom.Date(at.In(place).Format(time.DateOnly))
}
