// Package book holds all definitions of one shop as one value, and reads and writes
// its text form.
package book

import (
	"cmp"
	"errors"
	"fmt"

	"kerfbook/bom"
	"kerfbook/costing/money"
	"kerfbook/costing/rates"
	"kerfbook/costing/text"
	"kerfbook/costing/trade"
)

// DefaultDraws are made for a price where the shop does not say how many.
const DefaultDraws = 4096

// Draws gives how many draws are made for a price, and which.
func (b *Book) Draws() (count int, seed uint64) {
	return cmp.Or(b.PriceDraws, DefaultDraws), uint64(cmp.Or(b.PriceSeed, 1))
}

// Book is all that one shop knows.
type Book struct {
	Version  int         `book:"kerfbook,required"` // of the text form; this program reads 1
	Name     string      `book:"name,required"`
	Country  bom.Country `book:"country,required"` // where goods are dispatched
	Currency money.Code  `book:"currency,required"`
	TimeZone TimeZone    `book:"time_zone"` // by which a day begins; UTC if absent
	// PriceDraws is how many draws tell what a price rests on that does not rest on the
	// likely cost, and PriceSeed which; 0 for [DefaultDraws] and 1.
	PriceDraws int `book:"price_draws,min=2560,max=102400"`
	PriceSeed  int `book:"price_seed,min=1"`
	// NotCounted is what the shop says of matters that have no figure, wherever
	// neither the part nor the work centre says it.
	NotCounted []bom.CountAnswer `book:"not_counted"`

	RateCards   []rates.RateCard   `book:"rate_cards,required"`
	Wages       []rates.Wage       `book:"wages"`
	WorkCentres []rates.WorkCentre `book:"work_centres"`
	Materials   []rates.Material   `book:"materials"`
	Suppliers   []rates.Supplier   `book:"suppliers"`
	// MetalPrices are entered from day to day; prices of offers and chips may follow them.
	MetalPrices []rates.MetalPrice `book:"metal_prices"`
	Stocks      []bom.Stock        `book:"stocks"`
	Tools       []bom.Tool         `book:"tools"`
	// CuttingData are the shop's own rows; they go before the reference rows.
	CuttingData []rates.CuttingRow `book:"cutting_data"`
	// Factors are measured ÷ computed, where the shop has measured.
	Factors []rates.Factor `book:"factors"`

	Offers    []rates.Offer   `book:"offers"`
	Processes []rates.Process `book:"outside_processes"`
	Parts     []bom.Part      `book:"parts"`
	Products  []bom.Product   `book:"products"`
	Channels  []trade.Channel `book:"channels"`
	Prices    []trade.Price   `book:"prices"`

	Carriers     []trade.Carrier     `book:"carriers"`
	Destinations []trade.Destination `book:"destinations"`
	Baskets      []trade.Basket      `book:"baskets"`
	// Overrides are numbers in the place of computed figures.
	Overrides []Override `book:"overrides"`
	// Rules are the shop's own rows of tax, duty and customs; they go before
	// the reference rows.
	Rules trade.Rules `book:"rules"`

	// Unread says of stored records that cannot be read why, by list and id such
	// as "parts A-10". They are in no list above, nor in the text form.
	Unread map[string]string
}

// Version is the version of the text form that this program reads and writes.
const Version = 1

// Parse reads the text form of a book. All that is wrong with the form comes
// back at once as *text.Errors; whether the records fit together is for Check,
// to which the places are of use. Hints make what is wrong say more.
func Parse(data []byte, hints ...text.Hints) (*Book, text.Places, error) {
	b := new(Book)
	places, err := text.DecodeRecord(data, b, hints...)
	var found *text.Errors
	if err != nil && !errors.As(err, &found) {
		return nil, nil, err
	}
	if b.Version != Version && (err == nil || b.Version != 0) {
		at := places.Of("kerfbook")
		// In a book of another version every other complaint is noise.
		return nil, places, text.NewErrors([]text.Error{{
			Line: at.Line, Column: at.Column, Path: "kerfbook", Message: VersionMessage(b.Version),
		}})
	}
	if err != nil {
		return nil, places, err
	}
	return b, places, nil
}

// Write gives the text form of a book. Parsing it gives an identical book, and
// the same book always gives the same text.
func (b *Book) Write() ([]byte, error) { return text.Encode(b) }

// VersionMessage says that the program does not read a version of the text form.
func VersionMessage(version int) string {
	return fmt.Sprintf("version %d of the text form is not known; this program reads version %d", version, Version)
}
