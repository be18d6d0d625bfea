package rates

import "kerfbook/bom"

// InterestBase is the capital on which the interest of a machine is charged.
type InterestBase string

// The bases. Both are in use: half of what was paid, which leaves out what the
// machine is sold for at the end, and half of the two together.
const (
	HalfWithResidual InterestBase = "half_of_purchase_and_residual"
	HalfOfPurchase   InterestBase = "half_of_purchase"
)

// Values lists the words of the book.
func (InterestBase) Values() []string {
	return []string{"half_of_purchase_and_residual", "half_of_purchase"}
}

// HourRate is the machine rate of a work centre built up from what the machine
// costs in a year (formula M18), in the currency of the book. Labour is not part
// of it.
type HourRate struct {
	Replacement bom.Number `book:"replacement,required,min=0"`
	// Purchase is what was paid, for the interest; absent means replacement.
	Purchase *bom.Number `book:"purchase,min=0"`
	Disposal *bom.Number `book:"disposal,min=0"`
	Residual *bom.Number `book:"residual,min=0"`

	LifeYears bom.Number `book:"life_years,required,over=0"`
	// HoursPerYear are the hours in which the work centre is occupied.
	HoursPerYear bom.Number `book:"hours_per_year,required,over=0,max=8784"`

	// InterestPerYear is a share; absent means that of the rate card, if any.
	InterestPerYear *bom.Number  `book:"interest_per_year,min=0"`
	InterestBase    InterestBase `book:"interest_base"` // absent: half of purchase and residual

	AreaM2        *bom.Number `book:"area_m2,min=0"`
	RentPerM2Year *bom.Number `book:"rent_per_m2_year,min=0"`

	PowerKW   *bom.Number `book:"power_kw,min=0"`
	PowerLoad *bom.Number `book:"power_load,min=0,max=1"` // absent: 1
	// TariffPerKWh absent means the energy price of the rate card.
	TariffPerKWh *bom.Number `book:"tariff_per_kwh,min=0"`

	MaintenancePerYear *bom.Number  `book:"maintenance_per_year,min=0"`
	OtherPerYear       []YearlyCost `book:"other_per_year"`
	Source             string       `book:"source"`
}

// YearlyCost is what something costs in a year.
type YearlyCost struct {
	Name   string     `book:"name,required"`
	Amount bom.Number `book:"amount,required,min=0"`
}

// AllowanceBase is what an allowance is a share of.
type AllowanceBase string

// The bases.
const (
	OfWork  AllowanceBase = "work"  // attended time × (1 + allowance)
	OfShift AllowanceBase = "shift" // attended time ÷ (1 − allowance)
)

// Values lists the words of the book.
func (AllowanceBase) Values() []string { return []string{"work", "shift"} }
