package api

import (
	"time"

	"kerfbook/api/answer"
	"kerfbook/api/service"
	"kerfbook/api/service/promise"
	"kerfbook/bom"
	"kerfbook/costing/papers/quote"
	"kerfbook/costing/papers/show"
)

// quoteOut is a revision of a quote as it is answered: the document, where it
// stands, and what it was asked for with. The graph and the book it rests on are
// in its cost workbook; its proofs are asked for by key.
type quoteOut struct {
	Number      string                `json:"number" doc:"Empty in the preview of a new quote"`
	Revision    int                   `json:"revision"`
	Latest      int                   `json:"latest_revision"`
	State       quote.State           `json:"state" enum:"draft,issued,revised,withdrawn,expired"`
	Version     string                `json:"version" doc:"What If-Match names, there in quotes"`
	Hash        string                `json:"content_hash,omitempty"`
	CreatedAt   *time.Time            `json:"created_at,omitempty"`
	CreatedBy   string                `json:"created_by,omitempty"`
	IssuedOn    bom.Date              `json:"issued_on"`
	ValidUntil  bom.Date              `json:"valid_until"`
	Language    string                `json:"language"`
	Seller      quote.Party           `json:"seller"`
	Customer    quote.Party           `json:"customer"`
	Destination string                `json:"destination"`
	Buyer       string                `json:"buyer"`
	Channel     string                `json:"channel"`
	Currency    string                `json:"currency"`
	Lines       []quote.Line          `json:"lines"`
	Totals      quote.Totals          `json:"totals"`
	Taxes       []quote.Tax           `json:"taxes"`
	TaxCategory string                `json:"tax_category"`
	Arrival     *quote.Arrival        `json:"arrival,omitempty"`
	Exchange    []quote.ExchangeRow   `json:"exchange"`
	Terms       quote.Agreement       `json:"terms"`
	Notes       string                `json:"notes,omitempty"`
	Cautions    []string              `json:"cautions"`
	Unverified  []quote.UnverifiedRow `json:"unverified"`
	RanOut      []quote.RanOut        `json:"ran_out,omitempty" doc:"Prices the quote rests on that have run out"`
	Confirmed   bool                  `json:"confirmed"`
	Day         bom.Date              `json:"priced_on"`
	Book        answer.Version        `json:"book_version,omitempty" doc:"Of a preview: the book it was made from. Sent with the request to issue, it refuses other figures"`
	Basis       *quote.Basis          `json:"basis,omitempty" doc:"Of a preview: the batch that each price rests on and its full cost. Never on the customer's document"`
	Request     quote.Request         `json:"request"`
	Mix         []quote.MixInput      `json:"mix"`
}

// quoteHead is a quote in a list.
type quoteHead struct {
	Number      string      `json:"number"`
	Revision    int         `json:"revision"`
	State       quote.State `json:"state" enum:"draft,issued,revised,withdrawn,expired"`
	Customer    string      `json:"customer"`
	Destination string      `json:"destination"`
	Currency    string      `json:"currency"`
	Net         string      `json:"net"`
	Tax         string      `json:"tax"`
	Total       string      `json:"total"`
	ValidUntil  bom.Date    `json:"valid_until"`
	CreatedAt   time.Time   `json:"created_at"`
	CreatedBy   string      `json:"created_by"`
}

type quotePage struct {
	Items []quoteHead `json:"items"`
	Next  string      `json:"next,omitempty" doc:"The cursor of the next page; absent on the last"`
}

func quoteWire(a service.Actor, d promise.Quote) quoteOut {
	d = a.Shown(d)
	return quoteOut{
		Number: d.Number, Revision: d.Revision, Latest: d.Latest, State: d.State, Version: string(d.Version()), Hash: d.Hash,
		CreatedAt: instantOf(d.CreatedAt), CreatedBy: d.CreatedBy, IssuedOn: d.IssuedOn, ValidUntil: d.ValidUntil,
		Language: d.Language, Seller: d.Seller, Customer: d.Customer, Destination: d.Destination, Buyer: d.Buyer,
		Channel: d.Channel, Currency: d.Currency, Lines: d.Lines, Totals: d.Totals, Taxes: d.Taxes, TaxCategory: d.TaxCategory,
		Arrival: d.Arrival, Exchange: d.Exchange, Terms: d.Terms, Notes: d.Notes, Cautions: d.Cautions,
		Unverified: d.Unverified, RanOut: d.RanOut, Confirmed: d.Confirmed, Day: d.Inputs.Day, Book: d.Book, Basis: d.Basis, Request: d.Inputs.Request, Mix: d.Inputs.Mix,
	}
}

func quoteHeadWire(h promise.QuoteHead) quoteHead {
	return quoteHead{Number: h.Number, Revision: h.Revision, State: h.State, Customer: h.Customer, Destination: h.Destination,
		Currency: h.Currency, Net: show.Money(h.Net, h.Currency), Tax: show.Money(h.Tax, h.Currency),
		Total: show.Money(h.Total, h.Currency), ValidUntil: h.ValidUntil, CreatedAt: h.CreatedAt.UTC(), CreatedBy: h.CreatedBy}
}
