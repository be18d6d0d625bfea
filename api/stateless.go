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

// maxStatelessDraws bounds a spread that is answered in one request.
const maxStatelessDraws = 1_000_000

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

// StatelessSpread is a book with a question about how sure its figures are.
type StatelessSpread struct {
	Book    book.Book     `book:"book,required"`
	Request SpreadRequest `book:"request,required"`
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

// statelessSpread draws for as long as the client waits.
func (a *API) statelessSpread(ctx context.Context, c *call, in StatelessSpread) (*reply, error) {
	a.dayIn(&in.Book, &in.Request.Day)
	req := a.spreadRequest(in.Request)
	if err := errors.Join(in.Request.check("/request"), fewDraws(req.Draws)); err != nil {
		return nil, err
	}
	return stateless(a, ctx, c, &in.Book, func() (study.Spread, error) {
		q, err := study.NewSpreading(ctx, change.OriginOf(answer.Of(&in.Book)), req)
		if err != nil {
			return study.Spread{}, err
		}
		return q.Answer(ctx, func(int, int) {})
	})
}

func fewDraws(draws int) error {
	var f faults
	if draws > maxStatelessDraws {
		f.add("/request/draws", "%d draws; at most %d are made in one request", draws, maxStatelessDraws)
	}
	return f.err("more is asked for than is computed at once")
}

// stateless answers a question about a book that was sent along, once there is
// a place and the book is checked.
func stateless[T any](a *API, ctx context.Context, c *call, b *book.Book, compute func() (T, error)) (*reply, error) {
	out, err := placed(ctx, a, func() (out T, err error) {
		if err := checkBook(b, b.TimeZone.Day(a.edge.Config.Now())); err != nil {
			return out, err
		}
		out, err = compute()
		return out, inRequest(err)
	})
	return c.answer(out, err)
}

// inRequest places faults of a use case in a body that holds a book and a
// request: those with a pointer are faults of the request, the others of the book.
func inRequest(err error) error {
	var known *answer.Error
	if !errors.As(err, &known) {
		return err
	}
	moved := *known
	moved.Fields = make([]answer.FieldError, len(known.Fields))
	for i, f := range known.Fields {
		switch {
		case f.Pointer != "":
			f.Pointer = "/request" + f.Pointer
		case f.Path != "":
			f.Pointer = "/book" + text.Pointer(f.Path)
		}
		moved.Fields[i] = f
	}
	return &moved
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
