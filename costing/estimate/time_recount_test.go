package estimate_test

import (
	"math/big"
	"testing"

	"kerfbook/costing/book"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/rates"
)

// ratePerHour is what an hour of a work centre costs: entered, or what its
// machine costs in a year, spread over the hours of a year (M18).
func ratePerHour(b *book.Book, c *rates.WorkCentre) *big.Rat {
	h := c.HourRate
	if h == nil {
		return ft.Typed(c.MachineRatePerH)
	}
	card, value := b.RateCards[0], h.Replacement.Likely.Rat()
	bought := typedOr(h.Purchase, value)
	interest := typedOr(h.InterestPerYear, ft.Typed(card.InterestPerYear))
	tariff := typedOr(h.TariffPerKWh, ft.Typed(card.EnergyPerKWh))
	lost := ft.Minus(ft.Plus(value, ft.Typed(h.Disposal)), ft.Typed(h.Residual))
	year := ft.Over(lost, h.LifeYears.Likely.Rat())
	year = ft.Plus(year, ft.Times(interest, ft.Over(ft.Plus(bought, ft.Typed(h.Residual)), ft.Rat("2"))))
	year = ft.Plus(year, ft.Times(ft.Typed(h.AreaM2), ft.Typed(h.RentPerM2Year)))
	year = ft.Plus(year, ft.Typed(h.MaintenancePerYear))
	for _, o := range h.OtherPerYear {
		year = ft.Plus(year, o.Amount.Likely.Rat())
	}
	hours := h.HoursPerYear.Likely.Rat()
	power := ft.Times(ft.Typed(h.PowerKW), ft.Or(h.PowerLoad, "1"), tariff, hours)
	return ft.Over(ft.Plus(year, power), hours)
}

// TestHourRateRecount: the demo's mill, built up from a year, costs 38 an hour.
func TestHourRateRecount(t *testing.T) {
	t.Parallel()
	b := atHome(t)
	s := evaluatedBatch(t, b, "glow=100")
	mill := find(t, b.WorkCentres, func(w *rates.WorkCentre) bool { return w.ID == "MILL" })
	ft.Same(t, "MILL: machine rate", s.key("work-centre/MILL/machine-rate"), ratePerHour(b, mill))
	ft.Same(t, "MILL: machine rate by hand", ratePerHour(b, mill), ft.Rat("38"))
}

// almost compares figures that rest on a learning curve, whose formula for many
// units is right to 14 digits, and no further.
func almost(t *testing.T, what string, got, want *big.Rat) {
	t.Helper()
	diff := new(big.Rat).Abs(ft.Minus(got, want))
	if diff.Cmp(ft.Times(new(big.Rat).Abs(want), ft.Rat("0.0000000000001"))) > 0 {
		t.Errorf("%s is %s, want %s", what, got.FloatString(18), want.FloatString(18))
	}
}
