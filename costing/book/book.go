// Package book holds all definitions of one shop as one value, reads and writes
// its text form, and checks that its records fit together.
package book

import (
	"kerfbook/bom"
	"kerfbook/costing/rates"
)

// Book is all that one shop knows.
type Book struct {
	Version  int            `book:"kerfbook,required"` // of the text form; this program reads 1
	Name     string         `book:"name,required"`
	Country  bom.Country    `book:"country,required"` // where goods are dispatched
	Currency rates.Currency `book:"currency,required"`

	RateCards   []rates.RateCard   `book:"rate_cards,required"`
	WorkCentres []rates.WorkCentre `book:"work_centres"`
	Materials   []rates.Material   `book:"materials"`
	Suppliers   []rates.Supplier   `book:"suppliers"`
	Stocks      []bom.Stock        `book:"stocks"`
	Offers      []rates.Offer      `book:"offers"`
	Processes   []rates.Process    `book:"outside_processes"`
	Parts       []bom.Part         `book:"parts"`
	Products    []bom.Product      `book:"products"`
	Channels    []rates.Channel    `book:"channels"`
	Prices      []rates.Price      `book:"prices"`

	Carriers     []rates.Carrier     `book:"carriers"`
	Destinations []rates.Destination `book:"destinations"`
	Baskets      []rates.Basket      `book:"baskets"`
	// Rules are the shop's own rows of tax, duty and customs; they go before
	// the reference rows.
	Rules rates.Rules `book:"rules"`
}
