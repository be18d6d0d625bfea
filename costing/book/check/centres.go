package check

import (
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/rates"
	"kerfbook/costing/text"
)

// workCentres checks the rates and the allowance of each work centre.
func (c *checker) workCentres() {
	used := c.usedCentres()
	for i := range c.book.WorkCentres {
		w := &c.book.WorkCentres[i]
		path := text.Index("work_centres", i)
		if field, why := w.GivenTwice(); why != "" {
			c.fail(text.Field(path, field), "%s", why)
		}
		if w.HourRate != nil {
			c.hourRate(path+".hour_rate", w.HourRate)
		}
		c.refer(path+".wage", w.Wage, "wages")
		c.refer(path+".own_hour", w.OwnHour, "wages")
		if used[w.ID] {
			c.hourly(path, w)
		}
		if w.AllowanceBase == rates.OfShift && w.Allowance != nil && !w.Allowance.High.LessThan(decimal.New(1, 0)) {
			c.fail(path+".allowance", "%s of shift time leaves no time to work; it must be less than 1", w.Allowance.High)
		}
	}
}

// hourly wants both rates of a work centre at which something is made.
func (c *checker) hourly(path string, w *rates.WorkCentre) {
	if w.OwnHour != "" {
		return
	}
	if w.HourRate == nil && w.MachineRatePerH == nil {
		c.gap(path+".machine_rate_per_h", "machine rate of %s is missing; enter it, or 0 where the wage is all", w.ID)
	}
	if w.LabourRatePerH == nil && w.Wage == "" {
		c.gap(path+".labour_rate_per_h", "wage of %s is missing; enter it, or 0 where nobody is paid for the work", w.ID)
	}
}

// wages wants the hours of each in one way, and all of that.
func (c *checker) wages() {
	for i := range c.book.Wages {
		w, path := &c.book.Wages[i], text.Index("wages", i)
		distinct(c, path+".other_per_year", w.OtherPerYear, func(y rates.YearlyCost) string { return y.Name })
		switch {
		case w.HoursPerYear != nil && w.ByWeek():
			c.fail(path+".hours_per_year", "give either the hours of a year, or those of a week with days off and the share that goes into parts, not both")
		case w.HoursPerYear == nil && !w.ByWeek():
			c.gap(path+".hours_per_year", "hours of %s are missing; enter those of a week with days off and the share that goes into parts, or those of a year", w.ID)
		case w.ByWeek():
			for i, n := range []*bom.Number{w.HoursPerWeek, w.DaysOffPerYear, w.ShareInParts} {
				if n == nil {
					field := []string{"hours_per_week", "days_off_per_year", "share_in_parts"}[i]
					c.gap(text.Field(path, field), "%s of %s is missing", strings.ReplaceAll(field, "_", " "), w.ID)
				}
			}
		}
	}
}

// usedCentres are the work centres of all operations.
func (c *checker) usedCentres() map[bom.ID]bool {
	out := map[bom.ID]bool{}
	note := func(routing []bom.Operation) {
		for i := range routing {
			out[routing[i].WorkCentre] = true
		}
	}
	for i := range c.book.Parts {
		note(c.book.Parts[i].Routing)
	}
	for i := range c.book.Products {
		note(c.book.Products[i].Routing)
	}
	return out
}

// hourRate wants what belongs together and no value that grows with use.
func (c *checker) hourRate(path string, r *rates.HourRate) {
	switch {
	case r.AreaM2 != nil && r.RentPerM2Year == nil:
		c.gap(path, "area_m2 needs rent_per_m2_year, the rent of a square metre for a whole year")
	case r.AreaM2 == nil && r.RentPerM2Year != nil:
		c.gap(path, "rent_per_m2_year needs area_m2")
	}
	switch {
	case r.PowerKW == nil && (r.PowerLoad != nil || r.TariffPerKWh != nil):
		c.gap(path, "power_load and tariff_per_kwh need power_kw")
	case r.PowerKW != nil && r.TariffPerKWh == nil && !c.cardHasEnergy():
		c.gap(path, "power_kw needs tariff_per_kwh, here or as energy_per_kwh on the rate card")
	}
	if r.Residual != nil && entered(&r.Replacement) && less(&r.Replacement, r.Residual) {
		c.fail(path+".residual", "%s is more than the replacement value %s; the machine would earn by being used up", r.Residual.Likely, r.Replacement.Likely)
	}
	distinct(c, path+".other_per_year", r.OtherPerYear, func(y rates.YearlyCost) string { return y.Name })
}

func (c *checker) cardHasEnergy() bool {
	for i := range c.book.RateCards {
		card := &c.book.RateCards[i]
		if c.day == "" && card.EnergyPerKWh != nil {
			return true
		}
	}
	card, ok := rates.CardOn(c.book.RateCards, c.day)
	return ok && card.EnergyPerKWh != nil
}
