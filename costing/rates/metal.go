package rates

import (
	"kerfbook/bom"
	"kerfbook/costing/money"
)

// MetalPrice is what a metal costs by the kilogram, as the shop enters it from day to
// day or month to month.
type MetalPrice struct {
	ID       bom.ID     `book:"id,required"`
	Name     string     `book:"name,required"`
	Currency money.Code `book:"currency,required"`
	Days     []MetalDay `book:"days,required"`
	Source   string     `book:"source"` // which quotation: of whom, bid or offer, day or mean of the month
}

// MetalDay is the price from a day on, until the next.
type MetalDay struct {
	From  bom.Date   `book:"from,required"`
	PerKg bom.Number `book:"per_kg,required,min=0"`
}

// On gives the place of the price in force on a day, the latest that has begun; −1 before
// the first.
func (m *MetalPrice) On(day bom.Date) int {
	found := -1
	for i := range m.Days {
		if m.Days[i].From <= day && (found < 0 || m.Days[i].From > m.Days[found].From) {
			found = i
		}
	}
	return found
}

// MetalPart is the part of a supplier's price that follows the price of a metal; the
// prices of the breaks are asked beside it. It is
//
//	mass of the metal × (metal price × (1 + added) − base)
type MetalPart struct {
	Metal bom.ID `book:"metal,required"`
	// Share of the mass bought, or of the coating, is of the metal; absent means all of it.
	Share *bom.Number `book:"share,over=0,max=1"`
	// MassG is the metal in one unit as the shop uses it, where it is no share of the mass:
	// the copper of a metre of cable, the silver of a plated contact. That of a coating is known from its thickness.
	MassG *bom.Number `book:"mass_g,over=0"`
	// BasePerKg is contained in the price of the breaks already.
	BasePerKg *bom.Number `book:"base_per_kg,min=0"`
	// Added is the share that the supplier adds to the metal price, such as 1 % for delivery.
	Added *bom.Number `book:"added,min=0"`
	// NeverBelow says that a metal price under the base gives nothing back.
	NeverBelow bool `book:"never_below_base"`
}
