package rates

import (
	"kerfbook/bom"
	"kerfbook/costing/reference"
)

// Wage is an hour of somebody, worked out from what they cost in a year and the hours of
// it that go into parts (formula M23), in the currency of the book. The owner's own hour
// has what the shop costs in it, and the hours that can be charged.
type Wage struct {
	ID         bom.ID     `book:"id,required"`
	Name       string     `book:"name,required"`
	PayPerYear bom.Number `book:"pay_per_year,required,min=0"`
	// OnTop is what is paid on top of the pay, as a share of it. None is written as 0.
	OnTop        bom.Number   `book:"on_top,required,min=0"`
	OtherPerYear []YearlyCost `book:"other_per_year"`

	// The hours of a year, worked out from a week, or entered in place of that.
	HoursPerWeek   *bom.Number `book:"hours_per_week,over=0,max=168"`
	DaysOffPerYear *bom.Number `book:"days_off_per_year,min=0,under=260"`
	ShareInParts   *bom.Number `book:"share_in_parts,over=0,max=1"`
	HoursPerYear   *bom.Number `book:"hours_per_year,over=0,max=8784"`
	Source         string      `book:"source"`
}

var paidOnTop = reference.Rows[struct {
	Countries []struct {
		Country bom.Country `book:"country,required"`
		Share   bom.Number  `book:"share,required,min=0"`
		Cited
	} `book:"paid_on_top"`
}]("ontop.yaml")

// BeginWage is what the form of a wage begins with: what is paid on top in the country,
// where a source says it, or what the owner's own hour has to earn.
func BeginWage(in bom.Country, own bool) (Wage, error) {
	asked := bom.Number{Missing: true}
	out := Wage{PayPerYear: asked, OnTop: asked}
	if own {
		out.ID, out.Name = "OWN", "my own hour"
		for _, name := range []string{"rent and power", "insurance", "software", "value the machines lose"} {
			out.OtherPerYear = append(out.OtherPerYear, YearlyCost{name, asked})
		}
		return out, nil
	}
	rows, err := paidOnTop()
	for _, row := range rows.Countries {
		if row.Country == in {
			out.OnTop, out.Source = row.Share, origin("paid on top in "+string(in), row.CheckedOn, row.Source)
		}
	}
	return out, err
}

// ByWeek reports that the hours are worked out from a week.
func (w *Wage) ByWeek() bool {
	return w.HoursPerWeek != nil || w.DaysOffPerYear != nil || w.ShareInParts != nil
}

// GivenTwice says of a work centre that gives an hour in two ways which field is one too
// many, and why.
func (w *WorkCentre) GivenTwice() (field, why string) {
	switch machine := w.MachineRatePerH != nil; {
	case machine && w.HourRate != nil:
		return "machine_rate_per_h", "give either machine_rate_per_h, or hour_rate, which builds it up, not both"
	case w.LabourRatePerH != nil && w.Wage != "":
		return "labour_rate_per_h", "give either labour_rate_per_h, or the wage that it is worked out from, not both"
	case w.OwnHour != "" && (machine || w.HourRate != nil || w.LabourRatePerH != nil || w.Wage != ""):
		return "own_hour", "own_hour is that of you and the machine together; give it alone, or a machine rate and a wage"
	}
	return "", ""
}
