package trade

import "kerfbook/bom"

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
