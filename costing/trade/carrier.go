package trade

import (
	"slices"

	"kerfbook/bom"
	"kerfbook/costing/money"
	"kerfbook/costing/reference"
)

// LengthUnit is the unit a carrier measures parcels in.
type LengthUnit string

// The length units.
const (
	Centimetres LengthUnit = "cm"
	Inches      LengthUnit = "in"
)

// Values lists the words of the book.
func (LengthUnit) Values() []string { return []string{"cm", "in"} }

// MassUnit is the unit a carrier weighs parcels in.
type MassUnit string

// The mass units.
const (
	Kilograms MassUnit = "kg"
	Pounds    MassUnit = "lb"
)

// Values lists the words of the book.
func (MassUnit) Values() []string { return []string{"kg", "lb"} }

// Carrier is one service of a parcel carrier: how it measures, what it charges
// per parcel, and what it asks for clearing goods through customs.
type Carrier struct {
	ID         bom.ID     `book:"id,required"`
	Name       string     `book:"name,required"`
	Currency   money.Code `book:"currency,required"`
	LengthUnit LengthUnit `book:"length_unit,required"`
	MassUnit   MassUnit   `book:"mass_unit,required"`
	// SideRounding is applied to each side in the length unit before the volume
	// is taken; absent means sides as measured.
	SideRounding *Rounding `book:"side_rounding"`
	// Divisor is the volume per unit of mass (cm³ per kg, in³ per lb); absent
	// means that volume does not matter.
	Divisor *bom.Number `book:"volumetric_divisor,over=0,single"`
	// MassStep is the step up to which chargeable mass is rounded; absent means
	// the exact mass.
	MassStep   *bom.Number `book:"mass_step,over=0,single"`
	Zones      []Zone      `book:"zones,required"`
	Surcharges []Surcharge `book:"surcharges"`
	Fuel       *bom.Number `book:"fuel_share,min=0"`
	Insurance  *Insurance  `book:"insurance"`
	Clearance  []Clearance `book:"clearance"`
	From       bom.Date    `book:"from"`
	To         bom.Date    `book:"to"`
	Cite       string      `book:"cite"`
	CheckedOn  bom.Date    `book:"checked_on"`
}

// Zone is the price table of a group of places. A place is a country or a
// country with a region, such as those of destinations.
type Zone struct {
	ID     bom.ID     `book:"id,required"`
	Places []string   `book:"places,required"`
	Bands  []MassBand `book:"bands,required"`
	// PerUnitAbove is charged on top of the last band for each unit of mass
	// above it; absent means heavier parcels are refused.
	PerUnitAbove *bom.Number `book:"per_unit_above,min=0"`
}

// MassBand is the price of a parcel up to and including a chargeable mass.
type MassBand struct {
	UpTo  bom.Number `book:"up_to,required,over=0,single"`
	Price bom.Number `book:"price,required,min=0"`
}

// Surcharge is added to the table price of each parcel: an amount, or a share of
// the table price.
type Surcharge struct {
	ID        bom.ID      `book:"id,required"`
	Name      string      `book:"name,required"`
	Amount    *bom.Number `book:"amount,min=0"`
	Share     *bom.Number `book:"share_of_table,min=0"`
	BearsFuel bool        `book:"bears_fuel"`
}

// Insurance is cover of the goods on the way. The rate is a share of the insured
// value, which is InsuredShare (absent: 1.1) of cost, freight and premium.
type Insurance struct {
	Rate         bom.Number  `book:"rate,required,min=0,under=0.5"`
	InsuredShare *bom.Number `book:"insured_share,over=0,max=1.5"`
	Minimum      *bom.Number `book:"minimum,min=0"`
}

// Clearance is what a carrier asks for clearing one consignment at a place:
// fixed (or by value) + a share of the duty and tax it advances, within minimum
// and maximum, + tax on both.
type Clearance struct {
	Places   []string        `book:"places,required"`
	Currency money.Code      `book:"currency,required"`
	Fixed    *bom.Number     `book:"fixed,min=0"`
	Tiers    []ClearanceTier `book:"tiers"` // by goods value; they replace the fixed part
	Share    *bom.Number     `book:"share_of_advanced,min=0"`
	Minimum  *bom.Number     `book:"minimum,min=0"`
	Maximum  *bom.Number     `book:"maximum,over=0"`
	Tax      *bom.Number     `book:"tax_on_fee,min=0"`
}

// ClearanceTier is the fixed part below a goods value, or up to and including it
// where closed; the last tier has no limit.
type ClearanceTier struct {
	UpTo   *bom.Number `book:"up_to,over=0,single"`
	Closed bool        `book:"closed"`
	Fixed  bom.Number  `book:"fixed,required,min=0"`
}

// InForce reports whether the prices hold on a day.
func (c *Carrier) InForce(day bom.Date) bool { return during(c.From, c.To, day) }

// ZoneFor gives the place in Zones of the one that holds the first of the names any
// zone holds, or −1; of several, that with the lowest id.
func (c *Carrier) ZoneFor(names []string) int {
	for _, n := range names {
		at := -1
		for i, z := range c.Zones {
			if slices.Contains(z.Places, n) && (at < 0 || z.ID < c.Zones[at].ID) {
				at = i
			}
		}
		if at >= 0 {
			return at
		}
	}
	return -1
}

// ClearanceFor gives the index of the terms of clearance for the first of the
// names any has, or −1.
func (c *Carrier) ClearanceFor(names []string) int {
	for _, n := range names {
		at := slices.IndexFunc(c.Clearance, func(x Clearance) bool { return slices.Contains(x.Places, n) })
		if at >= 0 {
			return at
		}
	}
	return -1
}

// Unverified reports that the prices have no source, or were recalled and not
// looked up.
func (c *Carrier) Unverified() bool { return reference.Unverified(c.Cite) }
