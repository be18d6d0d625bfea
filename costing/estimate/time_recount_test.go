package estimate_test

import (
	"math/big"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/fractiontest"
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

// measuring is the time an inspection takes by piece, characteristic by
// characteristic.
func measuring(list []bom.Characteristic) *big.Rat {
	sum := new(big.Rat)
	for i := range list {
		sum = plus(sum, multiply(list[i].MeasureMin.Likely.Rat(), or(list[i].SampledShare, "1")))
	}
	return sum
}

// learnt is what units take by the unit model: every unit for itself, added up,
// the last one in part, with the time entered as the average of the first ones; or
// the least time by piece, if that is more.
func learnt(t *testing.T, l *bom.Learning, piece, units *big.Rat) *big.Rat {
	t.Helper()
	if l.Model != bom.UnitModel || l.AverageAt == nil || l.MadeBefore != nil {
		t.Fatal("this recount knows the unit model with a stated average only")
	}
	n, rate := l.AverageAt.Likely.Rat(), l.Rate.Likely.Rat()
	first := divide(multiply(piece, n), practised(rate, n))
	return largest(multiply(first, practised(rate, units)), multiply(units, or(l.FloorMin, "0")))
}

// practised is what units take by the unit model, where unit k takes k^b of the first:
// every unit for itself, and a fraction of the next one at the end.
func practised(rate, units *big.Rat) *big.Rat {
	b, whole := fractiontest.Slope(rate), down(units)
	sum := fractiontest.Float(new(big.Rat))
	for k := int64(1); k <= whole.Num().Int64(); k++ {
		sum.Add(sum, fractiontest.Raised(k, b))
	}
	rest := fractiontest.Float(less(units, whole))
	sum.Add(sum, rest.Mul(rest, fractiontest.Raised(whole.Num().Int64()+1, b)))
	out, _ := sum.Rat(nil)
	return out
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

// TestPractice: twice the count leaves the rate, and a published table of an 80 %
// curve (source `learning-coefficients`, unit 3, 5, 7 and 10 with four digits).
func TestPractice(t *testing.T) {
	t.Parallel()
	b := fractiontest.Slope(rat("0.8"))
	for k, want := range map[int64]string{1: "1", 2: "0.8", 4: "0.64", 1024: "0.1073741824"} {
		got, _ := fractiontest.Raised(k, b).Rat(nil)
		same(t, "time of a unit at 80 %", got, rat(want))
	}
	for k, want := range map[int64]float64{3: 0.702, 5: 0.596, 7: 0.534, 10: 0.477} {
		if got, _ := fractiontest.Raised(k, b).Float64(); got < want-0.0005 || got > want+0.0005 {
			t.Errorf("unit %d takes %v, want %v", k, got, want)
		}
	}
	got, _ := practised(rat("0.8"), rat("10")).Float64()
	if got < 6.3145 || got > 6.3155 {
		t.Errorf("ten units take %v, want 6.315", got)
	}
}
