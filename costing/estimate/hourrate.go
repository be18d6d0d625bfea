package estimate

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/money"
	"kerfbook/costing/rates"
)

// machineRate is the rate of a work centre, entered or built up.
func (s *shop) machineRate(sc graph.Scope, w *rates.WorkCentre, at int) graph.ID {
	switch {
	case w.HourRate == nil && w.MachineRatePerH == nil:
		return sc.Within("machine_rate_per_h").Missing("machine-rate", "machine rate", s.money.Per(graph.Hour), "machine rate of "+string(w.ID))
	case w.HourRate == nil:
		return sc.Number("machine-rate", "machine rate", s.money.Per(graph.Hour), *w.MachineRatePerH, "machine_rate_per_h")
	}
	sc = sc.From(graph.Source{Where: "work centre " + w.Name, Path: index("work_centres", at), Cite: w.HourRate.Source})
	rate, _ := s.builtRate(sc, w.HourRate)
	return rate
}

// MachineHour is the hour of a machine, built up alone, and what it becomes when the
// machine is used half as much.
type MachineHour struct{ Rate, AtHalf graph.ID }

// MachineHours builds the hours of machines up that stand in no book yet, in the currency
// of one. All their hour rates are built up.
func MachineHours(of []rates.WorkCentre, currency money.Code) (*graph.Graph, []MachineHour, error) {
	builder := graph.NewBuilder(graph.Limits{})
	s := &shop{root: builder.Root(), money: graph.Currency(string(currency))}
	var out []MachineHour
	for i := range of {
		sc := s.root.In("work-centre", string(of[i].ID)).From(graph.Source{Where: of[i].Name, Cite: of[i].HourRate.Source}).Of(of[i].Name)
		rate, energy := s.builtRate(sc, of[i].HourRate)
		// All but energy is paid whether it runs or not, so that half the hours bear it twice.
		out = append(out, MachineHour{rate, sc.By("M18").Subtract("at-half-the-hours", "machine rate at half the hours",
			sc.Total("twice", "machine rate twice", rate, rate), energy)})
	}
	g, err := builder.Build()
	return g, out, err
}

// hourRate is one machine rate being built up (M18).
type hourRate struct {
	*shop
	s     graph.Scope // work-centre/ID/hour-rate/
	def   *rates.HourRate
	life  graph.ID // year
	hours graph.ID // h/year
}

// builtRate writes M18 in the scope of a work centre: what the machine costs in an
// hour in which it is occupied. The parts are those of
// source `machine-hour-formulas`; labour is not part of it.
func (s *shop) builtRate(sc graph.Scope, def *rates.HourRate) (rate, energy graph.ID) {
	r := hourRate{shop: s, s: sc.In("hour-rate").Within("hour_rate").By("M18"), def: def}
	r.life = r.s.Number("life", "years of use", graph.Year, def.LifeYears, "life_years")
	r.hours = r.s.Number("hours-per-year", "occupied hours a year", graph.Hour.Per(graph.Year), def.HoursPerYear, "hours_per_year")
	replacement := r.s.Number("replacement", "replacement value", s.money, def.Replacement, "replacement")
	residual := r.amount("residual", "residual value", def.Residual)
	parts := []graph.ID{r.depreciation(replacement, residual), r.interest(replacement, residual), r.space(), r.energy(),
		r.yearly("maintenance", "maintenance", def.MaintenancePerYear, "maintenance_per_year")}
	energy = parts[3]
	parts = append(parts, r.others()...)
	rate = sc.By("M18").Sum("machine-rate", "machine rate", parts...)
	r.s.Multiply("cost-per-year", "cost of a year with these hours", rate, r.hours)
	return rate, energy
}

func (r hourRate) amount(name, label string, n *bom.Number) graph.ID {
	return r.s.Optional(name, label, r.money, n, name)
}

// perHour spreads an amount a year over the hours of a year.
func (r hourRate) perHour(name, label string, aYear graph.ID) graph.ID {
	return r.s.Divide(name, label+" per hour", aYear, r.hours)
}

// depreciation is (replacement + disposal − residual) ÷ life ÷ hours.
func (r hourRate) depreciation(replacement, residual graph.ID) graph.ID {
	lost := r.s.Total("value-and-disposal", "replacement value and disposal", replacement, r.amount("disposal", "cost of disposal", r.def.Disposal))
	lost = graph.Or(r.s.Subtract("value-lost", "value lost over the years of use", lost, residual), lost)
	return r.perHour("depreciation", "depreciation", r.s.Divide("depreciation-per-year", "depreciation a year", lost, r.life))
}

// interest is interest × capital ÷ hours. The capital is half of purchase and
// residual value together, or half of the purchase.
func (r hourRate) interest(replacement, residual graph.ID) graph.ID {
	const name, label = "interest-rate", "interest a year"
	share := r.s.Optional(name, label, graph.Plain.Per(graph.Year), r.def.InterestPerYear, "interest_per_year")
	if share == graph.None && r.card.InterestPerYear != nil {
		share = r.cards.Shared(name, label, graph.Plain.Per(graph.Year), *r.card.InterestPerYear, "interest_per_year")
	}
	if share == graph.None {
		share = r.s.Within("interest_per_year").Missing(name, label, graph.Plain.Per(graph.Year), "interest for "+r.s.Record())
	}
	capital := graph.Or(r.s.Optional("purchase", "purchase price", r.money, r.def.Purchase, "purchase"), replacement)
	if r.def.InterestBase != rates.HalfOfPurchase {
		capital = r.s.Total("capital-all", "purchase price and residual value", capital, residual)
	}
	bound := r.s.Multiply("capital", "capital bound on average", capital, r.s.Half())
	return r.perHour("interest", "interest", r.s.Multiply("interest-per-year", "interest a year", share, bound))
}

// space is area × rent a year ÷ hours.
func (r hourRate) space() graph.ID {
	if r.def.AreaM2 == nil && r.def.RentPerM2Year == nil {
		return graph.None
	}
	square := graph.Metre.Power(2)
	area := r.s.Number("area", "area", square, bom.Needed(r.def.AreaM2), "area_m2")
	rent := r.s.Number("rent", "rent of a square metre a year", r.money.Per(square).Per(graph.Year), bom.Needed(r.def.RentPerM2Year), "rent_per_m2_year")
	return r.perHour("space", "space", r.s.Multiply("space-per-year", "space a year", area, rent))
}

// energy is power × load × tariff.
func (r hourRate) energy() graph.ID {
	if r.def.PowerKW == nil && r.def.PowerLoad == nil && r.def.TariffPerKWh == nil {
		return graph.None
	}
	const name, label = "energy-price", "price of energy"
	unit := r.money.Per(graph.Kilowatt).Per(graph.Hour)
	tariff := r.s.Optional(name, label, unit, r.def.TariffPerKWh, "tariff_per_kwh")
	if tariff == graph.None && r.card.EnergyPerKWh != nil {
		tariff = r.cards.Shared(name, label, unit, *r.card.EnergyPerKWh, "energy_per_kwh")
	}
	power := r.s.Number("power", "power", graph.Kilowatt, bom.Needed(r.def.PowerKW), "power_kw")
	load := r.s.Optional("power-load", "average load", graph.Plain, r.def.PowerLoad, "power_load")
	power = graph.Or(r.s.Multiply("power-drawn", "power drawn on average", power, load), power)
	if tariff == graph.None {
		tariff = r.s.Within("tariff_per_kwh").Missing(name, label, unit, "price of energy for "+r.s.Record())
	}
	return r.s.Multiply("energy", "energy per hour", power, tariff)
}

func (r hourRate) yearly(name, label string, n *bom.Number, field string) graph.ID {
	if n == nil {
		return graph.None
	}
	return r.perHour(name, label, r.s.Number(name+"-per-year", label+" a year", r.money.Per(graph.Year), *n, field))
}

func (r hourRate) others() []graph.ID {
	var out []graph.ID
	for i, c := range r.def.OtherPerYear {
		at := r
		at.s = r.s.In("other").Within(index("other_per_year", i))
		out = append(out, at.yearly(bom.Slug(c.Name), c.Name, &c.Amount, "amount"))
	}
	return out
}
