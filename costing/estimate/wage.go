package estimate

import (
	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/money"
	"kerfbook/costing/rates"
)

// hours gives the rates of machine and person at a work centre, and what an hour of
// writing its programs costs.
func (s *shop) hours(sc graph.Scope, w *rates.WorkCentre, at int) (machine, labour, programs graph.ID) {
	if field, why := w.GivenTwice(); why != "" {
		s.fail(index("work_centres", at)+"."+field, "%s", why)
		return graph.None, graph.None, graph.None
	}
	perHour := s.money.Per(graph.Hour)
	if w.OwnHour != "" {
		own := s.wage(w.OwnHour)
		return own, sc.Zero(perHour), own
	}
	machine = s.machineRate(sc, w, at)
	switch {
	case w.Wage != "":
		labour = s.wage(w.Wage)
	case w.LabourRatePerH != nil:
		labour = sc.Number("labour-rate", "labour rate", perHour, *w.LabourRatePerH, "labour_rate_per_h")
	default:
		labour = sc.Within("labour_rate_per_h").Missing("labour-rate", "labour rate", perHour, "wage of "+string(w.ID))
	}
	return machine, labour, labour
}

// programming is an hour of writing programs at a work centre: that of the person, or
// where the machine's contains the person, and the wage is 0, that of both.
func (s *shop) programming(c centre) graph.ID {
	if c.def.LabourRatePerH == nil {
		return c.programs
	}
	return c.scope.Once("programming-rate", func() graph.ID {
		sc := c.scope.By("C3")
		return sc.Choose("programming-rate", "an hour of programming", c.labourRate, graph.Greater, sc.Zero(s.money.Per(graph.Hour)), c.labourRate, c.machineRate)
	})
}

// wage is an hour of a wage of the book, one figure for all work centres.
func (s *shop) wage(id bom.ID) graph.ID {
	sc := s.root.In("wage", string(id)).From(graph.Source{Path: "wages"}).Of(string(id))
	return sc.Once("hour", func() graph.ID {
		w, at := s.book.Wage(id)
		if w == nil {
			return sc.Missing("hour", "an hour", s.money.Per(graph.Hour), "wage "+string(id))
		}
		return s.wageHour(sc, w, at).Hour
	})
}

// WageHour is an hour of a wage with what it is worked out from, and what it becomes
// when half as many hours go into parts.
type WageHour struct{ CostPerYear, HoursPerYear, Hour, AtHalf graph.ID }

// wageHour writes M23: what a year costs ÷ the hours of it that go into parts.
func (s *shop) wageHour(sc graph.Scope, w *rates.Wage, at int) (out WageHour) {
	sc = sc.From(graph.Source{Where: "wage " + w.Name, Path: index("wages", at), Cite: w.Source}).Of(w.Name).By("M23")
	aYear := s.money.Per(graph.Year)
	pay := sc.Number("pay", "pay of a year", aYear, w.PayPerYear, "pay_per_year")
	onTop := sc.Number("on-top", "share paid on top of the pay", graph.Plain, w.OnTop, "on_top")
	costs := []graph.ID{pay, sc.Multiply("paid-on-top", "paid on top in a year", pay, onTop)}
	for i, c := range w.OtherPerYear {
		costs = append(costs, sc.In("other").Number(bom.Slug(c.Name), c.Name+" a year", aYear, c.Amount, index("other_per_year", i)+".amount"))
	}
	out.CostPerYear = sc.Sum("cost-per-year", "cost of a year", costs...)
	out.HoursPerYear = hoursPerYear(sc, w)
	out.Hour = sc.Divide("hour", "an hour", out.CostPerYear, out.HoursPerYear)
	return out
}

// hoursPerYear are those that go into parts: entered, or
//
//	(260 − days off) × hours a week ÷ 5 × share that goes into parts
func hoursPerYear(sc graph.Scope, w *rates.Wage) graph.ID {
	unit, day := graph.Hour.Per(graph.Year), graph.Plain.Per(graph.Year)
	switch {
	case w.HoursPerYear != nil:
		return sc.Number("hours-per-year", "hours of a year that go into parts", unit, *w.HoursPerYear, "hours_per_year")
	case !w.ByWeek():
		return sc.Within("hours_per_year").Missing("hours-per-year", "hours of a year that go into parts", unit, "hours of "+w.Name)
	}
	const weeks = "a year of 52 weeks with five days of work"
	days := sc.Fixed("working-days", "days of work in a year", day, decimal.New(260, 0), weeks)
	five := sc.Fixed("days-a-week", "days of work in a week", graph.Plain, decimal.New(5, 0), weeks)
	present := sc.Subtract("days-at-work", "days at work", days, sc.Number("days-off", "days off a year", day, bom.Needed(w.DaysOffPerYear), "days_off_per_year"))
	each := sc.Divide("hours-per-day", "hours of a day", sc.Number("hours-per-week", "hours of a week", graph.Hour, bom.Needed(w.HoursPerWeek), "hours_per_week"), five)
	share := sc.Number("share-in-parts", "share of the hours that goes into parts", graph.Plain, bom.Needed(w.ShareInParts), "share_in_parts")
	return sc.Multiply("hours-per-year", "hours of a year that go into parts", present, each, share)
}

// WageHours works the hours of wages out that no estimate need rest on, in the currency of
// a book.
func WageHours(of []rates.Wage, currency money.Code) (*graph.Graph, []WageHour, error) {
	builder := graph.NewBuilder(graph.Limits{})
	s := &shop{root: builder.Root(), money: graph.Currency(string(currency))}
	var out []WageHour
	for i := range of {
		sc := s.root.In("wage", string(of[i].ID))
		h := s.wageHour(sc, &of[i], i)
		// All of it is paid however many hours are charged, so that half of them bear it twice.
		h.AtHalf = sc.By("M23").Of(of[i].Name).Total("at-half-the-hours", "an hour at half the hours", h.Hour, h.Hour)
		out = append(out, h)
	}
	g, err := builder.Build()
	return g, out, err
}
