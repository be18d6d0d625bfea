package book

import (
	"kerfbook/bom"
	"kerfbook/costing/rates"
	"kerfbook/costing/text"

	"github.com/shopspring/decimal"
)

// workCentres checks the machine rate and the allowance of each work centre.
func (c *checker) workCentres() {
	for i := range c.book.WorkCentres {
		w := &c.book.WorkCentres[i]
		path := text.Index("work_centres", i)
		if w.HourRate != nil {
			if w.MachineRatePerH != nil {
				c.fail(path+".machine_rate_per_h", "is given, and hour_rate builds it up; keep one or the other")
			}
			c.hourRate(path+".hour_rate", w.HourRate)
		}
		if w.AllowanceBase == rates.OfShift && w.Allowance != nil && !w.Allowance.High.LessThan(decimal.New(1, 0)) {
			c.fail(path+".allowance", "%s of shift time leaves no time to work; it must be less than 1", w.Allowance.High)
		}
	}
}

// hourRate wants what belongs together and no value that grows with use.
func (c *checker) hourRate(path string, r *rates.HourRate) {
	switch {
	case r.AreaM2 != nil && r.RentPerM2Year == nil:
		c.fail(path, "area_m2 needs rent_per_m2_year, the rent of a square metre for a whole year")
	case r.AreaM2 == nil && r.RentPerM2Year != nil:
		c.fail(path, "rent_per_m2_year needs area_m2")
	}
	switch {
	case r.PowerKW == nil && (r.PowerLoad != nil || r.TariffPerKWh != nil):
		c.fail(path, "power_load and tariff_per_kwh need power_kw")
	case r.PowerKW != nil && r.TariffPerKWh == nil && !c.cardHasEnergy():
		c.gap(path, "power_kw needs tariff_per_kwh, here or as energy_per_kwh on the rate card")
	}
	if r.Residual != nil && less(&r.Replacement, r.Residual) {
		c.fail(path+".residual", "%s is more than the replacement value %s; the machine would earn by being used up", r.Residual.Likely, r.Replacement.Likely)
	}
	c.distinct(path+".other_per_year", len(r.OtherPerYear), func(i int) string { return r.OtherPerYear[i].Name })
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

// distinct wants the names of a list told apart by the letters their keys keep.
func (c *checker) distinct(path string, n int, name func(int) string) {
	first := map[string]int{}
	for i := range n {
		key := bom.Slug(name(i))
		if at, twice := first[key]; twice {
			c.fail(text.Field(text.Index(path, i), "name"), "named like another; %s", c.firstUse(text.Index(path, at)))
			continue
		}
		first[key] = i
	}
}
