package estimate_test

import (
	"math/big"
	"testing"

	"kerfbook/costing/book"
	"kerfbook/costing/rates"
)

// ratePerHour is what an hour of a work centre costs: entered, or what its
// machine costs in a year, spread over the hours of a year (M18).
func ratePerHour(b *book.Book, c *rates.WorkCentre) *big.Rat {
	h := c.HourRate
	if h == nil {
		return or(c.MachineRatePerH, "0")
	}
	card, value := b.RateCards[0], h.Replacement.Likely.Rat()
	bought := typedOr(h.Purchase, value)
	interest := typedOr(h.InterestPerYear, or(card.InterestPerYear, "0"))
	tariff := typedOr(h.TariffPerKWh, or(card.EnergyPerKWh, "0"))
	lost := less(plus(value, or(h.Disposal, "0")), or(h.Residual, "0"))
	year := divide(lost, h.LifeYears.Likely.Rat())
	year = plus(year, multiply(interest, divide(plus(bought, or(h.Residual, "0")), rat("2"))))
	year = plus(year, multiply(or(h.AreaM2, "0"), or(h.RentPerM2Year, "0")))
	year = plus(year, or(h.MaintenancePerYear, "0"))
	for _, o := range h.OtherPerYear {
		year = plus(year, o.Amount.Likely.Rat())
	}
	hours := h.HoursPerYear.Likely.Rat()
	power := multiply(multiply(or(h.PowerKW, "0"), or(h.PowerLoad, "1")), multiply(tariff, hours))
	return divide(plus(year, power), hours)
}

// TestHourRateRecount: the demo's mill, built up from a year, costs 38 an hour.
func TestHourRateRecount(t *testing.T) {
	t.Parallel()
	b := atHome(t)
	s := evaluatedBatch(t, b, "glow=100")
	mill := find(t, b.WorkCentres, func(w *rates.WorkCentre) bool { return w.ID == "MILL" })
	same(t, "MILL: machine rate", s.key("work-centre/MILL/machine-rate"), ratePerHour(b, mill))
	same(t, "MILL: machine rate by hand", ratePerHour(b, mill), rat("38"))
}

// almost compares figures that rest on a learning curve, whose formula for many
// units is right to 14 digits, and no further.
func almost(t *testing.T, what string, got, want *big.Rat) {
	t.Helper()
	diff := new(big.Rat).Abs(less(got, want))
	if diff.Cmp(multiply(new(big.Rat).Abs(want), rat("0.0000000000001"))) > 0 {
		t.Errorf("%s is %s, want %s", what, got.FloatString(18), want.FloatString(18))
	}
}
