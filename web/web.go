package web

import (
	"net/http"

	"kerfbook/api/edge"
	"kerfbook/api/service"
	"kerfbook/web/frame"
)

// New makes the handler of all pages on an edge that other interfaces share. It is
// to be mounted at the root, beside the paths of those.
func New(e *edge.Edge, svc *service.Service) (http.Handler, error) {
	s, err := frame.NewSite(e, svc)
	if err != nil {
		return nil, err
	}
	return s.Handler(addresses()), nil
}

// addresses lists the pages.
func addresses() []frame.Address {
	return []frame.Address{
		frame.Get("/", service.Read, frame.Costly(start)),
		frame.Get("/spread", service.Read, frame.Costly(spread)),
		frame.Get("/spread/cancelled", service.Read, frame.Costly(spreadCancelled)),
		frame.Post("/spread/cancel", service.Read, cancelSpread),
		frame.Get("/curve", service.Read, frame.Costly(curve)),
		frame.Get("/compare", service.Read, frame.Costly(compare)),
		frame.Get("/landed", service.Read, frame.Costly(landed)),
		frame.Get("/parts", service.Read, frame.Costly(parts)),
		frame.Get("/parts/{number}", service.Read, frame.Costly(part)),
		frame.Get("/parts/{number}/operations.csv", service.Read, operationsCSV),
		frame.Get("/parts/{number}/import", service.Read, tableForm),
		frame.Get("/parts/{number}/import/example.csv", service.Read, exampleCSV),
		frame.Post("/parts/{number}/import", service.Write, frame.Costly(importTable)),
		frame.Get("/proof/*", service.Read, frame.Costly(proofPage)),
		frame.Get("/rates", service.Read, frame.Costly(ratesPage)),
		frame.Get("/sources", service.Read, sources),
		frame.Get("/change", service.Read, frame.Costly(whatIf)),
		frame.Post("/change", service.Write, frame.Costly(saveChange)),
		frame.Get("/book", service.Read, bookShelf),
		frame.Get("/book/export", service.Read, exportBook),
		frame.Get("/book/import", service.Read, importForm),
		frame.Post("/book/import", service.Write, frame.Costly(importBook)),
		frame.Get("/book/{kind}", service.Read, recordList),
		frame.Get("/book/{kind}/new", service.Read, newRecord),
		frame.Post("/book/{kind}", service.Write, frame.Costly(putRecord)),
		frame.Get("/book/{kind}/{id}", service.Read, recordPage),
		frame.Post("/book/{kind}/{id}", service.Write, frame.Costly(putRecord)),
		frame.Get("/book/{kind}/{id}/edit", service.Read, editRecord),
		frame.Post("/book/{kind}/{id}/remove", service.Write, frame.Costly(removeRecord)),
		frame.Get("/book/{kind}/{id}/revisions", service.Read, revisions),
		frame.Post("/book/{kind}/{id}/restore", service.Write, frame.Costly(restore)),
		frame.Get("/quotes", service.Read, quotes),
		frame.Get("/quotes/new", service.Quote, frame.Costly(newQuote)),
		frame.Post("/quotes", service.Quote, frame.Costly(postQuote)),
		frame.Get("/quotes/{number}", service.Read, quotePage),
		frame.Get("/quotes/{number}/revise", service.Quote, frame.Costly(reviseQuote)),
		frame.Post("/quotes/{number}/withdraw", service.Quote, withdrawQuote),
		frame.Get("/quotes/{number}/proof/*", service.Read, quoteProof),
		frame.Get("/quotes/{number}/file/{format}", service.Read, frame.Costly(quoteFile)),
		frame.Get("/changes", service.Read, changeLog),
		frame.Get("/tokens", service.Admin, tokens),
		frame.Post("/tokens", service.Admin, makeToken),
		frame.Post("/tokens/{id}/revoke", service.Admin, revokeToken),
	}
}
