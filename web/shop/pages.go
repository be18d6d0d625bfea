package shop

import (
	"kerfbook/api/service"
	"kerfbook/web/frame"
)

// Pages lists the addresses of the pages.
func Pages() []frame.Address {
	return []frame.Address{
		frame.Get("/book", service.Read, bookShelf),
		frame.Get("/book/export", service.Read, exportBook),
		frame.Get("/book/import", service.Read, importForm),
		frame.Get("/parts/first", service.Read, firstPartForm),
		frame.Post("/parts/first", service.Write, frame.Costly(firstPart)),
		frame.Post("/book/import", service.Write, frame.Costly(importBook)),
		frame.Get("/book/{kind}", service.Read, recordList),
		frame.Get("/book/{kind}/table", service.Read, tableForm),
		frame.Get("/book/{kind}/table.csv", service.Read, tableCSV),
		frame.Post("/book/{kind}/table", service.Write, frame.Costly(takeTable)),
		frame.Get("/parts/{number}/operations.csv", service.Read, tableCSV),
		frame.Get("/parts/{number}/import", service.Read, tableForm),
		frame.Get("/parts/{number}/import/example.csv", service.Read, exampleCSV),
		frame.Post("/parts/{number}/import", service.Write, frame.Costly(takeTable)),
		frame.Get("/book/{kind}/new", service.Read, newRecord),
		frame.Get("/book/{kind}/starters", service.Read, starters),
		frame.Post("/book/{kind}/starters", service.Write, frame.Costly(takeStarter)),
		frame.Post("/book/{kind}/confirm", service.Write, frame.Costly(confirmTaken)),
		frame.Post("/book/{kind}", service.Write, frame.Costly(putRecord)),
		frame.Get("/book/{kind}/{id}", service.Read, recordPage),
		frame.Post("/book/{kind}/{id}", service.Write, frame.Costly(putRecord)),
		frame.Get("/book/{kind}/{id}/edit", service.Read, editRecord),
		frame.Post("/book/{kind}/{id}/remove", service.Write, frame.Costly(removeRecord)),
		frame.Get("/book/{kind}/{id}/revisions", service.Read, revisions),
		frame.Post("/book/{kind}/{id}/restore", service.Write, frame.Costly(restore)),
		frame.Get("/changes", service.Read, frame.Costly(changeLog)),
		frame.Get("/changes/{change}", service.Read, frame.Costly(oneChange)),
		frame.Post("/changes/{change}/undo", service.Write, frame.Costly(undoChange)),
		frame.Get("/writing", service.Prices, writing),
		frame.Post("/writing", service.Prices, keepWriting),
		frame.Get("/shop", service.Admin, shopPage),
		frame.Post("/people", service.Admin, addPerson),
		frame.Post("/people/{id}", service.Admin, changePerson),
		frame.Post("/people/{id}/link", service.Admin, linkPerson),
		frame.Post("/tokens", service.Admin, makeToken),
		frame.Post("/tokens/{id}/revoke", service.Admin, revokeToken),
	}
}
