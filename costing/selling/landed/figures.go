package landed

import (
	"cmp"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/money"
	"kerfbook/costing/rates"
	"kerfbook/costing/selling/freight"
	"kerfbook/costing/selling/price"
	"kerfbook/costing/trade"
)

// Context is what a consignment is sent under.
type Context struct {
	Day      bom.Date
	Dispatch bom.Country    // where goods leave from
	Currency money.Code     // of the book
	Card     rates.RateCard // whose exchange rates are used
	CardPath string         // place of the card in the book
	Tables   trade.Tables
	Carriers []trade.Carrier // all of the book

	Destination trade.Destination
	Path        string // place of the destination in the book

	Channel *price.Channel // nil without fees and price points
}

// Line is one kind of goods in a consignment. The sides and mass are those of
// the packed piece; None where unknown.
type Line struct {
	Key, Name     string
	Product, Trim bom.ID   // empty for a part by itself, whose number is the key
	Price         graph.ID // net price of one piece without tax, book currency per piece
	Quantity      graph.ID // pieces
	// Net is the price of all pieces without tax in the currency of the
	// destination, where a document gives it; nil means price × quantity, the
	// price rounded.
	Net *graph.ID
	// Shelf is what a reseller asks for one piece, without tax, in book currency;
	// nil where the buyer uses the goods.
	Shelf *graph.ID
	// Margin is the margin wanted; nil without one.
	Margin *graph.ID
	HSCode string
	// National are the longer codes of places where six digits do not decide.
	National []bom.NationalCode
	Origin   bom.Country
	Path     string // place of the product in the book
	Parcel   freight.Parcel
	Cost     graph.ID // full cost of one piece, book currency per piece; None if unknown
}

// goods names what is sold: a product, or a part by itself.
func (l Line) goods() string {
	if l.Product == "" {
		return "part " + l.Key
	}
	return "product " + string(l.Product)
}

func (l Line) path() string { return cmp.Or(l.Path, "products") }

// Consignment is what is sent at once: each piece in a parcel of its own, or a
// basket with its own parcel.
type Consignment struct {
	Key        string
	Lines      []Line
	Basket     *trade.Basket // nil for a lone product
	BasketPath string        // place of the basket in the book
	// Charge is what a document asks for delivery, in book currency; nil means
	// what the book asks.
	Charge *graph.ID
	// TaxByRate rounds the tax of a sale within one customs territory once per
	// rate, as on a document, and not line by line.
	TaxByRate bool
}

// Figures are the headline figures of one consignment to one destination, in the
// currency of the destination unless said otherwise; None where a figure does
// not exist, as duty within one customs territory.
type Figures struct {
	Place    string
	Currency money.Code

	Goods          graph.ID // price of the goods without tax
	Freight        graph.ID // L3, book currency
	Insurance      graph.ID // L4, book currency
	Delivery       graph.ID // what the buyer pays for both, without tax
	Consumer       graph.ID // what a consumer pays a reseller there for the goods; None without one
	IntrinsicValue graph.ID
	CustomsValue   graph.ID   // L5
	Regime         graph.ID   // index into Regimes, from 1, where the buyer clears
	Regimes        []Regime   // in order
	BuyerClears    Settlement // charges at the door, or tax at checkout
	AllPaid        Settlement // one price for all

	// Reclaims says that the buyer gets import tax back.
	Reclaims bool
	// Missing says why there are no figures; nil where there are.
	Missing []*MissingError
}

// Blank are the figures of a consignment that has none, for the reasons given. The
// zero ID is a node, so that every figure has to say that it is not there.
func Blank(d trade.Destination, currency money.Code, missing []*MissingError) Figures {
	const none = graph.None
	s := Settlement{none, none, none, none, none, none, none, none, none, none, none, none, none, none, none, none, none}
	return Figures{Place: d.Place(), Currency: currency, Goods: none, Freight: none, Insurance: none, Delivery: none, Consumer: none, IntrinsicValue: none,
		CustomsValue: none, Regime: none, BuyerClears: s, AllPaid: s, Reclaims: d.BuyerReclaims, Missing: missing}
}

// Regime names one way of treating the consignment.
type Regime struct {
	ID, Name string
}

// Settlement is who pays what in one way of selling (L9).
type Settlement struct {
	Regime    graph.ID // index, from 1; None within one customs territory
	Price     graph.ID // what the buyer pays the seller, tax collected by the seller included
	Duty      graph.ID
	Charges   graph.ID
	Tax       graph.ID
	Clearance graph.ID
	Door      graph.ID // what the buyer pays at the door
	Collected graph.ID // tax and duty within Price that the seller owes on; None in an all-paid price
	Total     graph.ID // landed price: what the buyer has paid in all
	// AfterReclaim is the landed price without the tax the buyer gets back;
	// None where nothing is reclaimed.
	AfterReclaim graph.ID
	Fees         graph.ID // payment and market fees
	Reseller     graph.ID // margin of a reseller; None without one
	Discounts    graph.ID // customer and cash discounts and commission; None without any
	Kept         graph.ID // what is left to the seller
	KeptBook     graph.ID // the same in book currency
	Profit       graph.ID // kept less full cost and allowances, book currency; None without costs
	Margin       graph.ID // profit ÷ kept; None without costs
}
