package trade

import (
	"cmp"

	"kerfbook/bom"
)

// Channel is a way of selling: what is taken off the price on the way to the
// shop, and the prices people are willing to see.
type Channel struct {
	ID   bom.ID `book:"id,required"`
	Name string `book:"name,required"`
	// CashDiscount, Commission and CustomerDiscount are shares of the list
	// price (taken "in hundred").
	CashDiscount     *bom.Number `book:"cash_discount,min=0,under=1"`
	Commission       *bom.Number `book:"commission,min=0,under=1"`
	CustomerDiscount *bom.Number `book:"customer_discount,min=0,under=1"`
	// ResellerMargin is the share of the net shelf price a reseller keeps.
	ResellerMargin *bom.Number `book:"reseller_margin,min=0,under=1"`
	// PaymentShare and PaymentFixed are the payment fee on the gross price;
	// MarketShare is the fee of a market place on the gross price.
	PaymentShare *bom.Number `book:"payment_share,min=0,under=1"`
	PaymentFixed *bom.Number `book:"payment_fixed,min=0"`
	MarketShare  *bom.Number `book:"market_share,min=0,under=1"`
	// FeeTaxCost is the share of tax on the fees that is not reclaimed.
	FeeTaxCost *bom.Number `book:"fee_tax_cost,min=0"`
	// Allowances per unit sold: returns, warranty, carriage borne by the
	// seller, in the currency of the book.
	Returns  *bom.Number `book:"returns_per_piece,min=0"`
	Warranty *bom.Number `book:"warranty_per_piece,min=0"`
	Carriage *bom.Number `book:"carriage_per_piece,min=0"`
	// Tax is the rate contained in shelf prices of this channel at home.
	Tax        *bom.Number `book:"tax,min=0,max=1"`
	PricePoint *PricePoint `book:"price_point"`
	// Margin is the share of the proceeds wanted of a part that is sold alone, since
	// prices are of products.
	Margin *bom.Number `book:"margin,min=0,under=1"`
}

// PricePoint is a rule for prices people are willing to see: the smallest price
// of the form k × step + ending that is not below the target.
type PricePoint struct {
	Step   bom.Number  `book:"step,required,over=0,single"`
	Ending *bom.Number `book:"ending,min=0,single"`
}

// Price says how a product, or one trim of it, is priced in a channel: by
// margin, by markup, or at an entered net list price or shelf price in the
// currency of the book. Beside an entered price, a margin asks what the price
// allows the goods to cost. A price by margin or markup rests on the likely cost, unless
// it says on which other.
type Price struct {
	Product    bom.ID      `book:"product,required"`
	Trim       bom.ID      `book:"trim"`
	Channel    bom.ID      `book:"channel,required"`
	Margin     *bom.Number `book:"margin,min=0,under=1"`
	Markup     *bom.Number `book:"markup,min=0"`
	ListPrice  *bom.Number `book:"list_price,over=0"`
	ShelfPrice *bom.Number `book:"shelf_price,over=0"`
	RestsOn    CostBasis   `book:"rests_on"`
}

// Entered reports a price that was entered and rests on no cost.
func (p Price) Entered() bool { return p.ListPrice != nil || p.ShelfPrice != nil }

// ID is that of the price as a record: product, trim and channel, with _ for all trims.
func (p Price) ID() bom.ID {
	return p.Product + "." + cmp.Or(p.Trim, "_") + "." + p.Channel
}
