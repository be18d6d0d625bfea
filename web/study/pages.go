package study

import (
	"kerfbook/api/service"
	"kerfbook/web/frame"
)

// Pages lists the addresses of the pages.
func Pages() []frame.Address {
	return []frame.Address{
		frame.Get("/parts/{number}/first", service.Read, frame.Costly(firstBand)),
		frame.Get("/parts/{number}/cost.xlsx", service.Read, frame.Costly(bandWorkbook)),
		frame.Post("/parts/{number}/first", service.Write, frame.Costly(answerGuess)),
		frame.Get("/spread", service.Read, frame.Costly(spread)),
		frame.Get("/spread/cancelled", service.Read, frame.Costly(spreadCancelled)),
		frame.Post("/spread/cancel", service.Read, cancelSpread),
		frame.Get("/curve", service.Read, frame.Costly(curve)),
		frame.Get("/compare", service.Read, frame.Costly(compare)),
	}
}
