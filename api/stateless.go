package api

import (
	"context"
	"errors"
	"net/http"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/answer/study"
	"kerfbook/api/edge"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/check"
	"kerfbook/costing/graph/proof"
	"kerfbook/costing/text"
)

// StatelessPriceList is a book with a question about it.
type StatelessPriceList struct {
	Book    book.Book        `book:"book,required"`
	Request PriceListRequest `book:"request,required"`
}

// StatelessProof is a book with a question about one figure.
type StatelessProof struct {
	Book    book.Book    `book:"book,required"`
	Request ProofRequest `book:"request,required"`
}

// statelessRoutes answer about a book that comes with the request; nothing of it
// is stored.
func (a *API) statelessRoutes() {
	addStateless[answer.PriceList](a, "/stateless/price-list", "stateless-price-list", "Prices of trims of the book sent along", a.statelessPriceList)
	addStateless[proof.Step](a, "/stateless/proof", "stateless-proof", "How a figure of the book sent along was made", a.statelessProof)
	addStateless[study.Spread](a, "/stateless/spread", "stateless-spread", "How sure figures of the book sent along are, and what moves them", a.statelessSpread)
}

// addStateless registers a question in a body, answered with Out.
func addStateless[Out, In any](a *API, path, id, summary string, handle func(ctx context.Context, c *call, in In) (*reply, error)) {
	rt := figureRoute[In, Out](a, path, id, summary)
	rt.figure = false // depends on no stored book
	rt.tag, rt.about = "stateless", "Nothing is stored: the answer rests on the book in the body alone."
	rt.body.types, rt.body.limit = jsonOrYAML, a.edge.Config.BookLimit
	add(a, rt, reading(handle))
}

func (a *API) statelessPriceList(ctx context.Context, c *call, in StatelessPriceList) (*reply, error) {
	a.dayIn(&in.Book, &in.Request.Day)
	if err := errors.Join(in.Request.check("/request/quantities"), unknownTrims(&in.Book, in.Request.Trims)); err != nil {
		return nil, err
	}
	release, err := a.edge.Place(ctx)
	if err != nil {
		return nil, err
	}
	defer release()
	if err := checkBook(&in.Book, in.Request.Day); err != nil {
		return nil, err
	}
	list, err := study.PriceList(ctx, change.OriginOf(answer.Of(&in.Book)), a.priceRequest(in.Request))
	if err == nil && len(list.Estimates) == 0 {
		err = answer.NoTrim()
	}
	if err != nil {
		return nil, engineFault(err)
	}
	return c.ok(http.StatusOK, list)
}

func (a *API) statelessProof(ctx context.Context, c *call, in StatelessProof) (*reply, error) {
	a.dayIn(&in.Book, &in.Request.Day)
	release, err := a.edge.Place(ctx)
	if err != nil {
		return nil, err
	}
	defer release()
	if err := errors.Join(checkMix(in.Request.Mix, "/request/mix"), checkBook(&in.Book, in.Request.Day)); err != nil {
		return nil, err
	}
	sheet, err := answer.Of(&in.Book).Sheet(ctx, in.Request.Mix, in.Request.Day)
	if err != nil {
		return nil, engineFault(err)
	}
	step, err := sheet.Explain(in.Request.Key, depthOr(in.Request.Depth))
	if err != nil {
		return nil, engineFault(err)
	}
	return c.ok(http.StatusOK, step)
}

// checkBook holds the records of a book against one another.
func checkBook(b *book.Book, day bom.Date) error {
	var f faults
	for _, p := range check.Book(b, nil, day) {
		if p.Severity == check.Fault {
			f = append(f, edge.Field{Pointer: "/book" + text.Pointer(p.Path), Path: p.Path, Detail: p.Message})
		}
	}
	return f.err("the book does not fit together")
}

// unknownTrims refuses trims that the book does not have, which would otherwise
// be passed over in silence.
func unknownTrims(b *book.Book, trims []bom.ID) error {
	known := map[bom.ID]bool{}
	for _, p := range b.Products {
		for _, t := range p.Trims {
			known[t.ID] = true
		}
	}
	var f faults
	for i, t := range trims {
		if !known[t] {
			f.add("/request/trims"+text.Pointer(text.Index("", i)), "the book has no trim %s", t)
		}
	}
	return f.err("the request does not fit the book")
}

// engineFault tells why a book that fits together still gives no figures.
func engineFault(err error) error {
	var f faults
	var known *answer.Error
	var unknown *answer.UnknownKeyError
	switch {
	case errors.As(err, &unknown):
		f = faults{{Pointer: "/request/key", Detail: err.Error()}}
	case !errors.As(err, &known) || known.Code == answer.Internal:
		return err
	case len(known.Fields) == 0:
		f = faults{{Pointer: "/book", Detail: known.Message}}
	default:
		for _, one := range known.Fields {
			f = append(f, edge.Field{Pointer: "/book" + text.Pointer(one.Path), Path: one.Path, Detail: one.Message})
		}
	}
	return f.err("no figures can be computed from this book")
}
