package trade

import (
	"strings"

	"kerfbook/bom"
)

// BuyerKind is who buys.
type BuyerKind string

// The kinds of buyer; an absent one means a consumer at a destination and
// either in a rule row.
const (
	Consumer BuyerKind = "consumer"
	Business BuyerKind = "business"
)

// Values lists the words of the book.
func (BuyerKind) Values() []string { return []string{"consumer", "business"} }

// Destination is a country, or a region of one, the shop sells to.
type Destination struct {
	Country bom.Country `book:"country,required"`
	// Region is the second half of a subdivision code where rules differ
	// within the country.
	Region  string    `book:"region"`
	Name    string    `book:"name"`
	Buyer   BuyerKind `book:"buyer"`
	Channel bom.ID    `book:"channel"`
	Carrier bom.ID    `book:"carrier"`
	// Registered says that the shop is registered for the scheme under which
	// the seller collects the destination's tax.
	Registered bool `book:"registered"`
	// BuyerReclaims says that the buyer gets import tax back.
	BuyerReclaims bool `book:"buyer_reclaims_tax"`
	// Preference names the origin preference claimed at import, as tariff rows
	// name it.
	Preference string `book:"preference"`
	// SalesToDate are the distance sales of this year within the customs
	// territory before this one, without tax, in the currency of the book.
	SalesToDate *bom.Number `book:"sales_to_date,min=0"`
	// DeliveryCharge is what the buyer is asked for delivery of one
	// consignment, without tax, in the currency of the book; absent means
	// freight and insurance at cost.
	DeliveryCharge *bom.Number `book:"delivery_charge,min=0"`
	// InlandShare is the share of the delivery that lies behind the border.
	InlandShare *bom.Number `book:"inland_share,min=0,max=1"`
	// PricePoint is the rule for all-paid prices in the destination's
	// currency.
	PricePoint *PricePoint      `book:"price_point"`
	Delivered  []DeliveredPrice `book:"delivered_prices"`
}

// Place is the destination as keys and rows name it: the country code, with the
// region if any.
func (d Destination) Place() string {
	if d.Region == "" {
		return string(d.Country)
	}
	return string(d.Country) + "-" + d.Region
}

// Elsewhere is a place that the book says nothing of: a business there, that collects.
func Elsewhere(place string) Destination {
	country, region, _ := strings.Cut(place, "-")
	return Destination{Country: bom.Country(country), Region: region, Buyer: Business}
}

// BuyerKind is the kind of buyer, a consumer where nothing is said.
func (d Destination) BuyerKind() BuyerKind {
	if d.Buyer == "" {
		return Consumer
	}
	return d.Buyer
}

// DeliveredPrice is an entered all-paid price of one piece, tax and delivery
// included, in the currency of the destination.
type DeliveredPrice struct {
	Product bom.ID     `book:"product,required"`
	Trim    bom.ID     `book:"trim"`
	Price   bom.Number `book:"price,required,over=0"`
}

// Basket is a consignment of several lines.
type Basket struct {
	ID    bom.ID       `book:"id,required"`
	Name  string       `book:"name"`
	Lines []BasketLine `book:"lines,required"`
	// Parcel is the packed basket; absent means one parcel per piece.
	Parcel *bom.Parcel `book:"parcel"`
	// DeliveryCharge replaces that of the destination, in the currency of the
	// book.
	DeliveryCharge *bom.Number `book:"delivery_charge,min=0"`
	// DeliveredPrice is an entered all-paid price of the whole basket, in the
	// currency of the destination.
	DeliveredPrice *bom.Number `book:"delivered_price,over=0"`
	// Destinations are the places it is sent to; absent means all.
	Destinations []string `book:"destinations"`
}

// BasketLine is a trim of a product with its quantity.
type BasketLine struct {
	Product  bom.ID     `book:"product,required"`
	Trim     bom.ID     `book:"trim,required"`
	Quantity bom.Number `book:"quantity,required,over=0,whole"`
}
