package answer

import (
	"cmp"

	"kerfbook/bom"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/money"
	"kerfbook/costing/rates"
)

// StarterHour is what an hour of a machine that ships with the program comes to, before
// it is taken into a book.
type StarterHour struct {
	Starter bom.ID `json:"starter"`
	Rate    Figure `json:"rate"`
	AtHalf  Figure `json:"at_half_the_hours"`
}

// StarterHours builds them up in a currency; without one in that of the starters.
func StarterHours(currency money.Code) ([]StarterHour, error) {
	all, err := rates.Starters()
	if err != nil {
		return nil, Unexpected(err)
	}
	usual, err := rates.StarterCurrency()
	if err != nil {
		return nil, Unexpected(err)
	}
	var machines []rates.WorkCentre
	var out []StarterHour
	for i := range all {
		for _, m := range all[i].Machines {
			machines, out = append(machines, m), append(out, StarterHour{Starter: all[i].ID})
		}
	}
	g, hours, err := estimate.MachineHours(machines, cmp.Or(currency, usual))
	if err != nil {
		return nil, Unexpected(err)
	}
	r, err := readerOf(g)
	if err != nil {
		return nil, err
	}
	for i, h := range hours {
		out[i].Rate, out[i].AtHalf = r.Figure(h.Rate), r.Figure(h.AtHalf)
	}
	return out, nil
}

func readerOf(g *graph.Graph) (Reader, error) {
	values, err := exact.Evaluate(g, nil)
	if err != nil {
		return Reader{}, Unexpected(err)
	}
	return NewReader(g, values), nil
}

// WageHour is what an hour of a wage comes to, and what it is worked out from.
type WageHour struct {
	Wage         bom.ID `json:"wage"`
	CostPerYear  Figure `json:"cost_per_year"`
	HoursPerYear Figure `json:"hours_per_year"`
	Hour         Figure `json:"hour"`
	AtHalf       Figure `json:"at_half_the_hours"`
}

// WageHours works them out in a currency.
func WageHours(of []rates.Wage, currency money.Code) ([]WageHour, error) {
	g, hours, err := estimate.WageHours(of, currency)
	if err != nil {
		return nil, Unexpected(err)
	}
	r, err := readerOf(g)
	if err != nil {
		return nil, err
	}
	out := make([]WageHour, len(of))
	for i, h := range hours {
		out[i] = WageHour{of[i].ID, r.Figure(h.CostPerYear), r.Figure(h.HoursPerYear), r.Figure(h.Hour), r.Figure(h.AtHalf)}
	}
	return out, nil
}
