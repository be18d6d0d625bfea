package rates

import (
	"cmp"
	"slices"

	"kerfbook/bom"
	"kerfbook/costing/money"
)

// PurchaseUnit is the unit a supplier counts in.
type PurchaseUnit string

// The units of purchase.
const (
	PerPiece    PurchaseUnit = "piece" // of the part, or one bar, plate or sheet of stock
	PerHundred  PurchaseUnit = "hundred"
	PerKilogram PurchaseUnit = "kg"
	PerMetre    PurchaseUnit = "m"
	PerSheet    PurchaseUnit = "sheet"
	PerPack     PurchaseUnit = "pack" // a reel, a can, a bag, a bundle, with pack_content
)

// Values lists the words of the book.
func (PurchaseUnit) Values() []string {
	return []string{"piece", "hundred", "kg", "m", "sheet", "pack"}
}

// Supplier is who sells.
type Supplier struct {
	ID   bom.ID `book:"id,required"`
	Name string `book:"name,required"`
	// LeastCharges is how many minimum charges, the highest, are asked of an order of
	// several processes; absent means all.
	LeastCharges *bom.Number `book:"least_charges,over=0,whole,single"`
}

// Offer is the price of a supplier for a bought part or a stock. Need, minimum
// and breaks are counted in the purchase unit.
type Offer struct {
	For      bom.ID       `book:"for,required"` // part number or stock id
	Supplier bom.ID       `book:"supplier,required"`
	Unit     PurchaseUnit `book:"unit,required"`
	Currency money.Code   `book:"currency,required"`
	Breaks   []PriceBreak `book:"breaks,required"`
	// PackContent is how much is in a pack, counted as the part is where it is used.
	PackContent *bom.Number `book:"pack_content,over=0,single"`
	// Metals are what of the price follows the price of metals, beside the breaks.
	Metals []MetalPart `book:"metals"`
	// CutCharge is for each piece of stock, which the supplier cuts to its length.
	CutCharge *bom.Number `book:"cut_charge,min=0"`
	// LeastValue is what goods and cuts of an order come to at least.
	LeastValue *bom.Number `book:"least_value,min=0"`
	// OrderCharges are asked once per order, such as for a certificate.
	OrderCharges []OrderCharge `book:"order_charges"`
	MOQ          *bom.Number   `book:"moq,over=0,single"`
	Multiple     *bom.Number   `book:"multiple,over=0,single"`
	Inbound      *Inbound      `book:"inbound"`
	LeadDays     int           `book:"lead_days,min=0"`
	ValidUntil   bom.Date      `book:"valid_until"`
	// LeftoverValue is the share of the price paid at which leftover of a
	// bought part is credited; stock has it on the blank.
	LeftoverValue *bom.Number `book:"leftover_value,min=0,max=1"`
}

// OffersFor lists the places of the offers for each part and stock.
func OffersFor(offers []Offer) map[bom.ID][]int {
	of := map[bom.ID][]int{}
	for i := range offers {
		of[offers[i].For] = append(of[offers[i].For], i)
	}
	return of
}

// OffersOn lists those of the offers for a part or stock, given by their places, that
// are used on a day, by supplier: those that hold, or, where none does, those that held
// last.
func OffersOn(offers []Offer, of []int, day bom.Date) []int {
	var hold, ran []int
	last := bom.Date("")
	for _, i := range of {
		o := &offers[i]
		switch {
		case o.ValidUntil == "" || o.ValidUntil >= day:
			hold = append(hold, i)
		case o.ValidUntil > last:
			last, ran = o.ValidUntil, []int{i}
		case o.ValidUntil == last:
			ran = append(ran, i)
		}
	}
	if len(hold) == 0 {
		hold = ran
	}
	slices.SortStableFunc(hold, func(a, b int) int { return cmp.Compare(offers[a].Supplier, offers[b].Supplier) })
	return hold
}

// PriceBreak is the price of one purchase unit from a quantity on; the first
// price also holds below its quantity.
type PriceBreak struct {
	From  bom.Number `book:"from,required,min=0,single"`
	Price bom.Number `book:"price,required,min=0"`
}

// OrderCharge is what a supplier asks once per order, by its name.
type OrderCharge struct {
	Name   string     `book:"name,required"`
	Amount bom.Number `book:"amount,required,min=0"`
}

// Inbound is what it costs to get a purchase into the shop: fixed per order,
// per purchase unit, and a share of the value, in the offer's currency.
type Inbound struct {
	Fixed   *bom.Number `book:"fixed,min=0"`
	PerUnit *bom.Number `book:"per_unit,min=0"`
	Share   *bom.Number `book:"share_of_value,min=0"`
}

// Process is the price of an outside process, per lot.
type Process struct {
	ID         bom.ID      `book:"id,required"`
	Name       string      `book:"name,required"`
	Supplier   bom.ID      `book:"supplier,required"`
	Currency   money.Code  `book:"currency,required"`
	Minimum    *bom.Number `book:"minimum,min=0"`
	Fixed      *bom.Number `book:"fixed,min=0"`
	LoadCharge *bom.Number `book:"load_charge,min=0"`
	PiecePrice *bom.Number `book:"piece_price,min=0"`
	// AreaPrice is per dm²; AreaMicronPrice is per dm² and µm.
	AreaPrice       *bom.Number `book:"price_per_dm2,min=0"`
	AreaMicronPrice *bom.Number `book:"price_per_dm2_um,min=0"`
	// A mask has a price, or takes a time that is charged by the hour.
	MaskPrice      *bom.Number `book:"mask_price,min=0"`
	MaskMin        *bom.Number `book:"mask_min,min=0"`
	MaskRatePerH   *bom.Number `book:"mask_rate_per_h,min=0"`
	TransportThere *bom.Number `book:"transport_there,min=0"`
	TransportBack  *bom.Number `book:"transport_back,min=0"`

	// PieceBreaks are prices of a piece by the pieces of a lot, AreaBreaks those of a
	// dm² by the area of a lot, in place of one price.
	PieceBreaks []PriceBreak `book:"piece_breaks"`
	AreaBreaks  []PriceBreak `book:"area_breaks"`
	// KilogramPrice is by the mass of the pieces, as barrels are charged.
	KilogramPrice *bom.Number `book:"price_per_kg,min=0"`
	// LeastAreaDM2 is charged for a piece that has less.
	LeastAreaDM2 *bom.Number     `book:"least_area_dm2,over=0"`
	Charges      []ProcessCharge `book:"charges"`
	Surcharges   []Surcharge     `book:"surcharges"`
	// Metal is what of the price follows that of the metal deposited.
	Metal *MetalPart `book:"metal"`
	// AllowedLoss is the share of our pieces that the supplier may spoil; for each one
	// beyond that SpoiledTimes the charge of a piece is taken off, 0 where we bear them.
	AllowedLoss  *bom.Number `book:"allowed_loss,min=0,under=1"`
	SpoiledTimes *bom.Number `book:"spoiled_times,min=0"`

	// Finish lets treatments name a class, and lets growth, mass and time in the
	// bath be shown. Phosphorus is that of a nickel deposit.
	Finish     FinishKind `book:"finish"`
	Phosphorus Phosphorus `book:"phosphorus"`
	// CoatingDensityGCM3 and DepositUMH go before those of the reference rows.
	CoatingDensityGCM3 *bom.Number `book:"coating_density_g_cm3,over=0"`
	DepositUMH         *bom.Number `book:"deposit_um_h,over=0"`
	// CurrentADM2 is the current density of anodising or of the shop's own bath of a
	// metal, Efficiency the share of it that deposits.
	CurrentADM2 *bom.Number `book:"current_a_dm2,over=0"`
	Efficiency  *bom.Number `book:"efficiency,over=0,max=1"`
	// LoadDM2 is the area that one load holds, where a treatment does not say
	// how many pieces.
	LoadDM2 *bom.Number `book:"load_dm2,over=0"`
	// LoadDM3 is the space of one load, which what fills it sooner ends.
	LoadDM3 *bom.Number `book:"load_dm3,over=0"`

	LeadDays   int      `book:"lead_days,min=0"`
	ValidUntil bom.Date `book:"valid_until"`
	Source     string   `book:"source"`
}

// PricesPieces reports that it is said what a piece of a lot costs, by the piece, by
// its area or mass or by the load.
func (p *Process) PricesPieces() bool {
	return p.LoadCharge != nil || p.PiecePrice != nil || p.KilogramPrice != nil || len(p.PieceBreaks) > 0 || p.PricesArea()
}

// PricesArea reports that the area of a piece is charged.
func (p *Process) PricesArea() bool {
	return p.AreaPrice != nil || p.AreaMicronPrice != nil || len(p.AreaBreaks) > 0
}
