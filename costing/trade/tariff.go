package trade

import (
	"kerfbook/bom"
	"kerfbook/costing/money"
)

// TariffRow is the duty on a class of goods imported into a territory.
type TariffRow struct {
	// Codes are prefixes of the classification, digits only, or ranges of
	// chapters such as 25-97. The longest prefix decides.
	Codes []string `book:"hs_codes,required"`
	// Territory is the customs territory or country of import.
	Territory string `book:"territory,required"`
	// Origin limits the row to goods of these countries; absent means any.
	Origin []bom.Country `book:"origin"`
	// Preference is the name of the arrangement that must be claimed; absent
	// means the general rate.
	Preference string `book:"preference"`
	// Layer names an additional duty on top of the base rate; rows of one layer
	// compete among themselves.
	Layer bom.ID `book:"layer"`
	// Unless names layers that, where they apply, switch this one off.
	Unless    []bom.ID `book:"unless"`
	From      bom.Date `book:"from"`
	To        bom.Date `book:"to"` // the last day
	Duty      Duty     `book:"duty,required"`
	Cite      string   `book:"cite"`
	CheckedOn bom.Date `book:"checked_on"`
}

// Combining says how the parts of a duty make one amount.
type Combining string

// The ways of combining; absent means the sum.
const (
	TheSum     Combining = "sum"
	TheGreater Combining = "greater"
	TheSmaller Combining = "smaller"
)

// Values lists the words of the book.
func (Combining) Values() []string { return []string{"sum", "greater", "smaller"} }

// Duty is the form of a duty: by value, by quantity, by mass, by content, or a
// share of the base duty; several parts are added, or the greater or smaller of
// value part and quantity part counts. Amounts are in Currency, by default that
// of the destination.
type Duty struct {
	Share *bom.Number `book:"by_value,min=0"`
	// ValueShare is the share of the customs value the rate falls on, where it
	// is levied on the value of a content only.
	ValueShare  *bom.Number `book:"share_of_value,over=0,max=1"`
	PerPiece    *bom.Number `book:"per_piece,min=0"`
	PerKg       *bom.Number `book:"per_kg,min=0"`
	Contents    []Content   `book:"contents"`
	ShareOfBase *bom.Number `book:"share_of_base_duty,min=0"`
	Combine     Combining   `book:"combine"`
	Currency    money.Code  `book:"currency"`
}

// Content is a duty on the mass of one content of the goods.
type Content struct {
	Name  string     `book:"name,required"`
	Share bom.Number `book:"share_of_mass,required,min=0,max=1"`
	PerKg bom.Number `book:"per_kg,required,min=0"`
}
