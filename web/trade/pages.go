package trade

import (
	"kerfbook/api/service"
	"kerfbook/web/frame"
)

// Pages lists the addresses of the pages.
func Pages() []frame.Address {
	return []frame.Address{
		frame.Get("/parts/{number}/price", service.Read, frame.Costly(partPrice)),
		frame.Post("/parts/{number}/price", service.Write, frame.Costly(sayOfPrice)),
		frame.Get("/landed", service.Read, frame.Costly(landed)),
		frame.Get("/rates", service.Read, frame.Costly(ratesPage)),
		frame.Get("/sources", service.Read, sources),
	}
}
