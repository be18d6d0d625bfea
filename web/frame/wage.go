package frame

import (
	"strings"

	"kerfbook/api/answer"
	"kerfbook/costing/rates"
)

// WageHour is what an hour of a wage comes to.
type WageHour struct {
	Cost, Hours, Hour, AtHalf statistic
	Without                   string // what is missing
}

// statistic is a number with its place in the answer.
type statistic struct {
	Fig
	Place string
}

// HourOf works the hour of a record out; nil of one that is no wage.
func HourOf(c *Call, value any) (*WageHour, error) {
	w, is := value.(rates.Wage)
	if !is {
		return nil, nil
	}
	all, err := answer.WageHours([]rates.Wage{w}, c.Book.Currency)
	if err != nil {
		return nil, err
	}
	h, link := all[0], Linker{}
	return &WageHour{
		statistic{link.Money(h.CostPerYear), "/cost_per_year/value"}, statistic{link.Places(h.HoursPerYear, 1), "/hours_per_year/value"},
		statistic{link.Money(h.Hour), "/hour/value"}, statistic{link.Money(h.AtHalf), "/at_half_the_hours/value"}, strings.Join(h.Hour.Without, ", "),
	}, nil
}
