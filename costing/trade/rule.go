package trade

import (
	"slices"

	"kerfbook/bom"
	"kerfbook/costing/money"
)

// ValueBasis says how far the customs value reaches.
type ValueBasis string

// The bases.
const (
	CIF ValueBasis = "cif" // with freight and insurance to the border
	FOB ValueBasis = "fob" // without
)

// Values lists the words of the book.
func (ValueBasis) Values() []string { return []string{"cif", "fob"} }

// Measure is the amount a threshold looks at.
type Measure string

// The measures.
const (
	IntrinsicValue Measure = "intrinsic_value"
	CustomsValue   Measure = "customs_value"
)

// Values lists the words of the book.
func (Measure) Values() []string { return []string{"intrinsic_value", "customs_value"} }

// ThresholdBasis says whether a limit is for each item or for the consignment.
type ThresholdBasis string

// The bases of a threshold.
const (
	PerItem        ThresholdBasis = "item"
	PerConsignment ThresholdBasis = "consignment"
)

// Values lists the words of the book.
func (ThresholdBasis) Values() []string { return []string{"item", "consignment"} }

// Threshold holds up to a limit: including the limit where closed, below it
// where not. One item over a limit per item puts the whole consignment outside.
type Threshold struct {
	Measure Measure        `book:"measure,required"`
	Basis   ThresholdBasis `book:"basis,required"`
	Limit   bom.Number     `book:"limit,required,min=0,single"`
	Closed  bool           `book:"closed"`
}

// Same reports whether two thresholds end at the same amount; nil is none.
func (t *Threshold) Same(other *Threshold) bool {
	return t != nil && other != nil && t.Measure == other.Measure && t.Basis == other.Basis && t.Closed == other.Closed &&
		t.Limit.Likely.Equal(other.Limit.Likely)
}

// DutyTreatment is what a regime does about duty.
type DutyTreatment string

// The treatments.
const (
	NoDuty       DutyTreatment = "none"
	TariffDuty   DutyTreatment = "tariff"
	FlatPerClass DutyTreatment = "flat_per_class" // per distinct six-digit class
)

// Values lists the words of the book.
func (DutyTreatment) Values() []string { return []string{"none", "tariff", "flat_per_class"} }

// TaxCollection is who collects tax.
type TaxCollection string

// The ways tax is collected.
const (
	TaxAtBorder TaxCollection = "at_border"
	TaxBySeller TaxCollection = "by_seller"
	NoTax       TaxCollection = "none"
)

// Values lists the words of the book.
func (TaxCollection) Values() []string { return []string{"at_border", "by_seller", "none"} }

// Standing says for which sellers a regime is open.
type Standing string

// The standings; absent means any seller.
const (
	RegisteredOnly   Standing = "registered"
	UnregisteredOnly Standing = "unregistered"
)

// Values lists the words of the book.
func (Standing) Values() []string { return []string{"registered", "unregistered"} }

// ImportRule says how goods are treated that enter a place. Amounts are in the
// currency of the rule.
type ImportRule struct {
	ID bom.ID `book:"id,required"`
	// Place is a region, a country or a customs territory; the narrowest rule
	// wins.
	Place string `book:"place,required"`
	// DispatchedFrom limits the rule to goods from these places; absent means
	// from anywhere outside the customs territory.
	DispatchedFrom []string   `book:"dispatched_from"`
	Buyer          BuyerKind  `book:"buyer"`
	From           bom.Date   `book:"from"`
	To             bom.Date   `book:"to"` // the last day
	Currency       money.Code `book:"currency,required"`
	Basis          ValueBasis `book:"value_basis,required"`
	Regimes        []Regime   `book:"regimes,required"` // the first that holds applies
	Base           TaxBase    `book:"tax_base,required"`
	Ladder         Ladder     `book:"rounding"`
	// Notes say what the rule leaves out; they are shown with the figures.
	Notes     []string `book:"notes"`
	Cite      string   `book:"cite"`
	CheckedOn bom.Date `book:"checked_on"`
}

// TaxBase says what an import tax falls on beside customs value and duty.
type TaxBase struct {
	// Freight adds freight and insurance that are not yet in the customs value.
	Freight bool `book:"freight"`
	// Clearance adds the carrier's fee for clearance, as far as it does not
	// itself depend on the tax.
	Clearance bool `book:"clearance"`
}

// Regime is one way of treating a consignment. The last regime of a rule has no
// threshold.
type Regime struct {
	ID     bom.ID   `book:"id,required"`
	Name   string   `book:"name,required"`
	Seller Standing `book:"seller"`
	// Buyer limits the regime to consumers or to businesses that account for
	// the tax themselves; absent means either.
	Buyer BuyerKind     `book:"buyer"`
	Up    *Threshold    `book:"up_to"`
	Duty  DutyTreatment `book:"duty,required"`
	Flat  *bom.Number   `book:"flat_per_class,min=0"`
	Tax   TaxCollection `book:"tax,required"`
	// DutyRecharged says that the seller pays the duty, charges it to the buyer,
	// and owes tax on it as part of the consideration.
	DutyRecharged bool `book:"duty_recharged"`
	// Charges names the import charges that are certain to be due. Where one has
	// no row for the day, the price is not known.
	Charges []bom.ID `book:"charges"`
	// DutyTaxedApart has the border collect tax on the duty although the seller
	// collects that on the goods.
	DutyTaxedApart bool `book:"duty_taxed_apart"`
	// TaxInOne rounds seller-collected tax once over all lines instead of line
	// by line.
	TaxInOne bool `book:"tax_rounded_in_one"`
}

// Cleared reports whether a carrier has something to clear under the regime:
// duty, or tax at the border.
func (r Regime) Cleared() bool { return r.Duty != NoDuty || r.Tax == TaxAtBorder }

// ImportCharge is an amount due at import beside duty and tax: a processing fee,
// a levy.
type ImportCharge struct {
	ID        bom.ID       `book:"id,required"`
	Name      string       `book:"name,required"`
	Place     string       `book:"place,required"`
	Regimes   []bom.ID     `book:"regimes"` // absent means all
	Currency  money.Code   `book:"currency,required"`
	Counted   CountingUnit `book:"per"`
	Amount    *bom.Number  `book:"amount,min=0"`
	Share     *bom.Number  `book:"share_of_goods,min=0"`
	Minimum   *bom.Number  `book:"minimum,min=0"`
	Maximum   *bom.Number  `book:"maximum,over=0"`
	Above     *bom.Number  `book:"above_goods_value,min=0,single"`  // only above it
	UpTo      *bom.Number  `book:"up_to_goods_value,over=0,single"` // only up to and including it
	Tax       *bom.Number  `book:"tax_on_charge,min=0"`
	InTaxBase bool         `book:"in_tax_base"`
	From      bom.Date     `book:"from"`
	To        bom.Date     `book:"to"`
	Cite      string       `book:"cite"`
	CheckedOn bom.Date     `book:"checked_on"`
}

// On reports whether the charge is due under a regime.
func (c ImportCharge) On(r Regime) bool {
	return len(c.Regimes) == 0 || slices.Contains(c.Regimes, r.ID)
}

// CountingUnit is what an amount is counted by.
type CountingUnit string

// The counting units; absent means the consignment.
const (
	ByConsignment CountingUnit = "consignment"
	ByClass       CountingUnit = "class" // distinct six-digit class
	ByLine        CountingUnit = "line"
)

// Values lists the words of the book.
func (CountingUnit) Values() []string { return []string{"consignment", "class", "line"} }
