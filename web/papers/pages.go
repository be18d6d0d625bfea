package papers

import (
	"kerfbook/api/service"
	"kerfbook/web/frame"
)

// Pages lists the addresses of the pages.
func Pages() []frame.Address {
	return []frame.Address{
		frame.Get("/prices", service.Prices, frame.Costly(prices)),
		frame.Get("/quotes", service.Prices, quotes),
		frame.Get("/quotes/new", service.Quote, frame.Costly(newQuote)),
		frame.Post("/quotes", service.Quote, frame.Costly(postQuote)),
		frame.Get("/quotes/{number}", service.Prices, quotePage),
		frame.Get("/quotes/{number}/revise", service.Quote, frame.Costly(reviseQuote)),
		frame.Post("/quotes/{number}/withdraw", service.Quote, withdrawQuote),
		frame.Get("/quotes/{number}/proof/*", service.Read, quoteProof),
		frame.Get("/quotes/{number}/file/{format}", service.Prices, frame.Costly(quoteFile)),
	}
}
