package rates

import (
	"slices"

	"kerfbook/bom"
)

// ChargeUnit is what a named charge of an outside process is asked for.
type ChargeUnit string

// The units of named charges.
const (
	PerLot     ChargeUnit = "lot"
	EachPiece  ChargeUnit = "piece"
	PerContact ChargeUnit = "contact" // a place of a piece by which it hangs, moved or closed
	Once       ChargeUnit = "once"    // as a rack made for the part
)

// Values lists the words of the book.
func (ChargeUnit) Values() []string { return []string{"lot", "piece", "contact", "once"} }

// ProcessCharge is what a supplier asks beside the minimum: a rack, a report, a
// certificate, a place of contact.
type ProcessCharge struct {
	ID     bom.ID     `book:"id,required"`
	Name   string     `book:"name,required"`
	Amount bom.Number `book:"amount,required,min=0"`
	Per    ChargeUnit `book:"per,required"`
	// OverPieces is how many pieces bear what is paid once.
	OverPieces *bom.Number `book:"over_pieces,over=0,single"`
	// WhenAsked says that only treatments that name it are charged.
	WhenAsked bool `book:"when_asked"`
}

// Surcharge is a share of the price of a finish that a supplier sets anew from time to
// time, for metal or energy. One that has no later one goes on being used.
type Surcharge struct {
	ID    bom.ID     `book:"id,required"`
	Share bom.Number `book:"share,required,min=0"`
	From  bom.Date   `book:"from,required"`
	Until bom.Date   `book:"until"`
}

// SurchargesOn gives the places of the surcharges in force on a day: of each id the
// latest that has begun.
func (p *Process) SurchargesOn(day bom.Date) []int {
	var out []int
	for i, s := range p.Surcharges {
		if s.From <= day && !slices.ContainsFunc(p.Surcharges, func(o Surcharge) bool { return o.ID == s.ID && o.From <= day && o.From > s.From }) {
			out = append(out, i)
		}
	}
	return out
}

// Asks reports whether a treatment that names some charges is asked for this one.
func (c *ProcessCharge) Asks(named []bom.ID) bool {
	return !c.WhenAsked || slices.Contains(named, c.ID)
}
