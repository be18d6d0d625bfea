package api

import (
	"context"
	"errors"
	"net/http"
	"reflect"

	"kerfbook/api/answer"
	"kerfbook/api/answer/study"
	"kerfbook/api/edge"
	"kerfbook/bom"
	"kerfbook/costing/book"
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
	add(a, a.statelessRoute("/stateless/price-list", "stateless-price-list", "Prices of trims of the book sent along",
		reflect.TypeFor[answer.PriceList](), reflect.TypeFor[StatelessPriceList]()), a.statelessPriceList)
	add(a, a.statelessRoute("/stateless/proof", "stateless-proof", "How a figure of the book sent along was made",
		reflect.TypeFor[proof.Step](), reflect.TypeFor[StatelessProof]()), a.statelessProof)
	add(a, a.statelessRoute("/stateless/spread", "stateless-spread", "How sure figures of the book sent along are, and what moves them",
		reflect.TypeFor[study.Spread](), reflect.TypeFor[StatelessSpread]()), a.statelessSpread)
}

func (a *API) statelessRoute(path, id, summary string, answers, request reflect.Type) route {
	rt := a.figureRoute(path, id, summary, answerForm{status: 200, schema: a.schemas.wire(answers)}, request)
	rt.figure = false // depends on no stored book
	rt.tag, rt.about = "stateless", "Nothing is stored: the answer rests on the book in the body alone."
	rt.body.types, rt.body.limit = jsonOrYAML, a.edge.Config.BookLimit
	return rt
}

func (a *API) statelessPriceList(ctx context.Context, c *call, _ *none) (*reply, error) {
	var in StatelessPriceList
	if err := decode(c, &in); err != nil {
		return nil, err
	}
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
	list, err := answer.Of(&in.Book).Price(ctx, a.priceRequest(in.Request))
	if err == nil && len(list.Estimates) == 0 {
		err = answer.NoTrim()
	}
	if err != nil {
		return nil, engineFault(err)
	}
	return c.ok(http.StatusOK, list)
}

func (a *API) statelessProof(ctx context.Context, c *call, _ *none) (*reply, error) {
	var in StatelessProof
	if err := decode(c, &in); err != nil {
		return nil, err
	}
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
	for _, p := range book.Check(b, nil, day) {
		if p.Severity == book.Fault {
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
