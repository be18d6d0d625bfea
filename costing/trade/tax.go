package trade

import (
	"kerfbook/bom"
	"kerfbook/costing/money"
	"kerfbook/costing/reference"
)

// TaxRow is one value added, goods and services or sales tax of a country; rows
// with a region replace those of the country there.
type TaxRow struct {
	ID      bom.ID      `book:"id,required"`
	Name    string      `book:"name,required"`
	Country bom.Country `book:"country,required"`
	Region  string      `book:"region"`
	// Buyer limits the row to consumers or to businesses; absent means both.
	Buyer BuyerKind `book:"buyer"`
	From  bom.Date  `book:"from"`
	To    bom.Date  `book:"to"` // the last day
	// Rate is the share of the base; with Per it is rate ÷ per.
	Rate bom.Number  `book:"rate,required,min=0"`
	Per  *bom.Number `book:"per,over=0"`
	// ShareOf makes this tax a share of another tax instead of the base.
	ShareOf bom.ID `book:"share_of"`
	// BaseContains names taxes that are part of the base of this one.
	BaseContains []bom.ID `book:"base_contains"`
	// With names taxes that are always levied beside this one.
	With []bom.ID `book:"levied_with"`
	// InsideBase says that the base contains the tax itself: rate ÷ (1 − rate)
	// of the base without it.
	InsideBase bool `book:"inside_base"`
	// BaseShare is the share of the base that is taxed.
	BaseShare *bom.Number `book:"base_share,over=0"`
	// NotLevied is the amount of import tax up to and including which it is not
	// collected.
	NotLevied *bom.Number `book:"not_levied_up_to,min=0,single"`
	// Rounding holds for import tax; absent means the minor unit, half up.
	Rounding  []Rounding `book:"rounding"`
	Cite      string     `book:"cite"`
	CheckedOn bom.Date   `book:"checked_on"`
}

// Territory is a customs union: one territory of several countries. A country in
// none is a territory by itself.
type Territory struct {
	ID        bom.ID        `book:"id,required"`
	Name      string        `book:"name,required"`
	Members   []bom.Country `book:"members,required"`
	From      bom.Date      `book:"from"`
	To        bom.Date      `book:"to"`
	Cite      string        `book:"cite"`
	CheckedOn bom.Date      `book:"checked_on"`
}

// DistanceSale is the rule for sales across borders within one customs
// territory: tax of the origin up to a yearly limit, tax of the destination from
// the sale on that crosses it.
type DistanceSale struct {
	Territory bom.ID    `book:"territory,required"`
	Buyer     BuyerKind `book:"buyer"`
	// Tax is by_seller, or none where the buyer accounts for it.
	Tax       TaxCollection `book:"tax,required"`
	Limit     *bom.Number   `book:"yearly_limit,min=0,single"`
	Currency  money.Code    `book:"currency"`
	From      bom.Date      `book:"from"`
	To        bom.Date      `book:"to"`
	Cite      string        `book:"cite"`
	CheckedOn bom.Date      `book:"checked_on"`
}

// CountryRow gives the currency of a country and the regions that are known.
type CountryRow struct {
	Country  bom.Country `book:"country,required"`
	Currency money.Code  `book:"currency,required"`
	// Regions are those the rows of the country hold in. Any other needs a row
	// that names it.
	Regions   []string `book:"regions"`
	From      bom.Date `book:"from"`
	To        bom.Date `book:"to"`
	Cite      string   `book:"cite"`
	CheckedOn bom.Date `book:"checked_on"`
}

// Rules are the dated rows that decide taxes and duties. A book holds the shop's
// own rows; they go before the reference rows of the program.
type Rules struct {
	Countries     []CountryRow   `book:"countries"`
	Territories   []Territory    `book:"territories"`
	DistanceSales []DistanceSale `book:"distance_sales"`
	Taxes         []TaxRow       `book:"taxes"`
	ImportRules   []ImportRule   `book:"import_rules"`
	ImportCharges []ImportCharge `book:"import_charges"`
	Tariff        []TariffRow    `book:"tariff"`
	// Confirmed are rows that ship without a source and that the shop stands by.
	Confirmed []Confirmed `book:"confirmed"`
}

// Confirmed is a row that somebody has looked at, by its name in proofs.
type Confirmed struct {
	Row string   `book:"row,required"`
	By  string   `book:"by"`
	On  bom.Date `book:"on,required"`
}

// Reference gives the rows that ship with the program.
var Reference = reference.Rows[Rules]("places.yaml", "rules.yaml", "tariff.yaml", "taxes.yaml")

// RoundingMode says which multiple of a step an amount goes to.
type RoundingMode string

// The modes.
const (
	HalfUp   RoundingMode = "half_up" // the nearest; halves away from zero
	HalfEven RoundingMode = "half_even"
	Down     RoundingMode = "down"
	Up       RoundingMode = "up"
)

// Values lists the words of the book.
func (RoundingMode) Values() []string { return []string{"half_up", "half_even", "down", "up"} }

// Rounding is one step of a rounding ladder; an absent mode means half_up. The
// step is in the unit of what is rounded.
type Rounding struct {
	Step bom.Number   `book:"step,required,over=0,single"`
	Mode RoundingMode `book:"mode"`
}

// Ladder is the rounding a country prescribes at the border, each rung a list
// of steps taken in order, in the currency of the destination. An absent rung
// leaves customs value and tax base unrounded and takes duty to the minor unit;
// tax rows have their own, by default the minor unit.
type Ladder struct {
	CustomsValue []Rounding `book:"customs_value"` // of each line, before its duty
	Duty         []Rounding `book:"duty"`          // of the sum over lines
	Base         []Rounding `book:"tax_base"`
	// ByLine takes base and taxes of each kind of goods through all steps but
	// the last of a tax, which is taken on the sum.
	ByLine bool `book:"by_line"`
}
