package web

import (
	"net/http"

	"kerfbook/api/edge"
	"kerfbook/api/service"
)

// New makes the handler of all pages on an edge that other interfaces share. It is
// to be mounted at the root, beside the paths of those.
func New(e *edge.Edge, svc *service.Service) (http.Handler, error) {
	s, err := newSite(e, svc)
	if err != nil {
		return nil, err
	}
	return s.handler(addresses()), nil
}

// addresses lists the pages.
func addresses() []address {
	return []address{
		get("/", service.Read, costly(start)),
		get("/spread", service.Read, costly(spread)),
		get("/spread/cancelled", service.Read, costly(spreadCancelled)),
		post("/spread/cancel", service.Read, cancelSpread),
		get("/curve", service.Read, costly(curve)),
		get("/compare", service.Read, costly(compare)),
		get("/landed", service.Read, costly(landed)),
		get("/parts", service.Read, costly(parts)),
		get("/parts/{number}", service.Read, costly(part)),
		get("/parts/{number}/operations.csv", service.Read, operationsCSV),
		get("/parts/{number}/import", service.Read, tableForm),
		get("/parts/{number}/import/example.csv", service.Read, exampleCSV),
		post("/parts/{number}/import", service.Write, costly(importTable)),
		get("/proof/*", service.Read, costly(proofPage)),
		get("/rates", service.Read, costly(ratesPage)),
		get("/sources", service.Read, sources),
		get("/change", service.Read, costly(whatIf)),
		post("/change", service.Write, costly(saveChange)),
		get("/book", service.Read, bookShelf),
		get("/book/export", service.Read, exportBook),
		get("/book/import", service.Read, importForm),
		post("/book/import", service.Write, costly(importBook)),
		get("/book/{kind}", service.Read, recordList),
		get("/book/{kind}/new", service.Read, newRecord),
		post("/book/{kind}", service.Write, costly(putRecord)),
		get("/book/{kind}/{id}", service.Read, recordPage),
		post("/book/{kind}/{id}", service.Write, costly(putRecord)),
		get("/book/{kind}/{id}/edit", service.Read, editRecord),
		post("/book/{kind}/{id}/remove", service.Write, costly(removeRecord)),
		get("/book/{kind}/{id}/revisions", service.Read, revisions),
		post("/book/{kind}/{id}/restore", service.Write, costly(restore)),
		get("/quotes", service.Read, quotes),
		get("/quotes/new", service.Quote, costly(newQuote)),
		post("/quotes", service.Quote, costly(postQuote)),
		get("/quotes/{number}", service.Read, quotePage),
		get("/quotes/{number}/revise", service.Quote, costly(reviseQuote)),
		post("/quotes/{number}/withdraw", service.Quote, withdrawQuote),
		get("/quotes/{number}/proof/*", service.Read, quoteProof),
		get("/quotes/{number}/file/{format}", service.Read, costly(quoteFile)),
		get("/changes", service.Read, changeLog),
		get("/tokens", service.Admin, tokens),
		post("/tokens", service.Admin, makeToken),
		post("/tokens/{id}/revoke", service.Admin, revokeToken),
	}
}
