package api

import (
	"kerfbook/api/answer"
	"kerfbook/api/service/promise"
	"kerfbook/bom"
	"kerfbook/costing/papers/quote"
	"kerfbook/costing/text"
)

// QuoteRequest is what a quote is asked for with, and the figures it was decided on: those
// of a preview, others being refused.
type QuoteRequest struct {
	quote.Request
	BookVersion string `book:"book_version"`
	PricedOn    string `book:"priced_on"` // the day of the preview
}

// quoteRequest reads what is asked for. The quote itself looks at its texts, so that all
// faults of a request are told together.
func quoteRequest(c *call) (quote.Request, promise.Seen, error) {
	in, err := decodeBy[QuoteRequest](c, text.DecodeAnyText)
	return in.Request, promise.Seen{Book: answer.Version(in.BookVersion), Day: bom.Date(in.PricedOn)}, err
}
