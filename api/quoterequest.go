package api

import (
	"kerfbook/api/answer"
	"kerfbook/api/service/promise"
	"kerfbook/bom"
	"kerfbook/costing/papers/quote"
)

// wording is text that the quote itself looks at, so that all faults of a request
// are told together.
type wording string

// CheckText takes any text.
func (wording) CheckText(string, bool) error { return nil }

// QuoteRequest is what a quote is asked for with.
type QuoteRequest struct {
	Lines             []QuoteRequestLine `book:"lines,required"`
	Destination       wording            `book:"destination,required"` // a place the book sells to
	Channel           wording            `book:"channel"`              // that of the destination if absent
	Buyer             wording            `book:"buyer"`                // consumer or business
	BuyerReason       wording            `book:"buyer_reason"`         // why a consumer buys in a channel for resellers
	Discount          wording            `book:"discount"`             // share of the goods
	Seller            QuoteParty         `book:"seller"`
	Customer          QuoteParty         `book:"customer,required"`
	ValidDays         int                `book:"valid_days,min=0"` // either this
	ValidUntil        wording            `book:"valid_until"`      // or this
	Delivery          QuoteDelivery      `book:"delivery,required"`
	PaymentTerms      wording            `book:"payment_terms"`
	LeadTime          wording            `book:"lead_time"`
	Notes             wording            `book:"notes"`
	Language          wording            `book:"language"`
	ConfirmUnverified bool               `book:"confirm_unverified"`
	BookVersion       wording            `book:"book_version"` // of the preview; other figures are refused
	PricedOn          wording            `book:"priced_on"`    // day of the preview; other figures are refused
}

// seen gives the figures that were previewed.
func (q QuoteRequest) seen() promise.Seen {
	return promise.Seen{Book: answer.Version(q.BookVersion), Day: bom.Date(q.PricedOn)}
}

// QuoteRequestLine is one variant with the pieces asked for.
type QuoteRequestLine struct {
	Product  wording             `book:"product"` // may be absent if one product has the trim
	Trim     wording             `book:"trim"`
	Choices  map[wording]wording `book:"choices"`
	Part     wording             `book:"part"`   // in the place of product and trim
	Margin   wording             `book:"margin"` // asked of the part, as a share
	Quantity wording             `book:"quantity,required"`
	Batch    wording             `book:"batch"` // made at once; the quantity if absent
}

// QuoteParty is who sells or buys.
type QuoteParty struct {
	Name      wording   `book:"name"`
	Address   []wording `book:"address"`
	Country   wording   `book:"country"`
	Contact   wording   `book:"contact"`
	TaxNumber wording   `book:"tax_number"`
}

// QuoteDelivery is where goods and risk pass over.
type QuoteDelivery struct {
	Term   wording `book:"term"`
	Place  wording `book:"place"`
	Charge wording `book:"charge"`
}

// request gives it to the use case.
func (q QuoteRequest) request() quote.Request {
	out := quote.Request{
		Destination: string(q.Destination), Channel: string(q.Channel), Buyer: string(q.Buyer), BuyerReason: string(q.BuyerReason), Discount: string(q.Discount),
		ValidDays: q.ValidDays, ValidUntil: string(q.ValidUntil), PaymentTerms: string(q.PaymentTerms), LeadTime: string(q.LeadTime),
		Notes: string(q.Notes), Language: string(q.Language), ConfirmUnverified: q.ConfirmUnverified,
	}
	q.Seller.fill(&out.Seller)
	q.Customer.fill(&out.Customer)
	out.Delivery.Term, out.Delivery.Place, out.Delivery.Charge = string(q.Delivery.Term), string(q.Delivery.Place), string(q.Delivery.Charge)
	for _, l := range q.Lines {
		out.Lines = append(out.Lines, l.line())
	}
	return out
}

func (l QuoteRequestLine) line() quote.RequestLine {
	out := quote.RequestLine{Product: string(l.Product), Trim: string(l.Trim), Part: string(l.Part), Margin: string(l.Margin), Quantity: string(l.Quantity), Batch: string(l.Batch)}
	for option, choice := range l.Choices {
		if out.Choices == nil {
			out.Choices = map[string]string{}
		}
		out.Choices[string(option)] = string(choice)
	}
	return out
}

func (p QuoteParty) fill(out *quote.Party) {
	out.Name, out.Country, out.Contact, out.TaxNumber = string(p.Name), string(p.Country), string(p.Contact), string(p.TaxNumber)
	for _, line := range p.Address {
		out.Address = append(out.Address, string(line))
	}
}
