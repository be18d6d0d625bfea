package estimate_test

import (
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/rates"
)

// TestStarterMachinesByHand builds the hour of every machine that ships with the program
// up a second time, by the printed formulas of M18, and at half the hours a third time.
func TestStarterMachinesByHand(t *testing.T) {
	t.Parallel()
	all, err := rates.Starters()
	if err != nil {
		t.Fatal(err)
	}
	var machines []rates.WorkCentre
	for i := range all {
		machines = append(machines, all[i].Machines...)
	}
	g, hours, err := estimate.MachineHours(machines, "EUR")
	if err != nil || len(machines) != 8 {
		t.Fatalf("%d machines, %v", len(machines), err)
	}
	values, err := exact.Evaluate(g, nil)
	if err != nil {
		t.Fatal(err)
	}
	two := decimal.New(2, 0)
	for i, m := range machines {
		r := m.HourRate
		byHand := func(h decimal.Decimal) decimal.Decimal {
			aYear := r.Replacement.Likely.Div(r.LifeYears.Likely).
				Add(r.Replacement.Likely.Div(two).Mul(r.InterestPerYear.Likely)).
				Add(r.AreaM2.Likely.Mul(r.RentPerM2Year.Likely)).Add(r.MaintenancePerYear.Likely)
			return aYear.Div(h).Add(r.PowerKW.Likely.Mul(r.PowerLoad.Likely).Mul(r.TariffPerKWh.Likely))
		}
		h := r.HoursPerYear.Likely
		for _, c := range []struct {
			what string
			of   graph.ID
			want decimal.Decimal
		}{{"an hour", hours[i].Rate, byHand(h)}, {"at half the hours", hours[i].AtHalf, byHand(h.Div(two))}} {
			if got, err := values.Get(c.of); err != nil || got.Sub(c.want).Abs().GreaterThan(decimal.New(1, -9)) {
				t.Errorf("%s, %s: %s, by hand %s, %v", m.ID, c.what, got, c.want, err)
			}
		}
		if m.LabourRatePerH != nil || m.MachineRatePerH != nil || r.Source == "" || !r.Replacement.IsRange || !r.HoursPerYear.IsRange {
			t.Errorf("%s has a wage, no build-up, no source or no width", m.ID)
		}
	}
}
