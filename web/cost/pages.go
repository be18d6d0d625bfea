package cost

import (
	"kerfbook/api/service"
	"kerfbook/web/frame"
)

// Pages lists the addresses of the pages.
func Pages() []frame.Address {
	return []frame.Address{
		frame.Get("/", service.Read, frame.Costly(start)),
		frame.Get("/trims", service.Read, frame.Costly(trims)),
		frame.Get("/parts", service.Read, frame.Costly(parts)),
		frame.Get("/parts/{number}", service.Read, frame.Costly(part)),
		frame.Get("/parts/{number}/minutes.csv", service.Read, frame.Costly(minutesCSV)),
		frame.Get("/parts/{number}/model", service.Read, modelForm),
		frame.Post("/parts/{number}/model", service.Write, frame.Costly(measureModel)),
		frame.Get("/proof/*", service.Read, frame.Costly(proofPage)),
	}
}
