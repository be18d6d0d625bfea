// Package whatif tries out several changes of a book together, and keeps them under a name
// to be compared and taken over.
package whatif

import (
	"kerfbook/api/service"
	"kerfbook/web/frame"
)

// Pages lists the addresses of the pages.
func Pages() []frame.Address {
	return []frame.Address{
		frame.Get("/change", service.Read, frame.Costly(whatIf)),
		frame.Post("/change", service.Write, frame.Costly(saveChange)),
		frame.Get("/scenarios", service.Read, frame.Costly(scenarios)),
		frame.Post("/scenarios", service.Write, frame.Costly(changeScenario)),
	}
}
