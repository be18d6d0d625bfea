package api

import (
	"context"
	"errors"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/answer/study"
	"kerfbook/costing/book"
	"kerfbook/costing/text"
)

// maxStatelessDraws bounds a spread that is answered in one request.
const maxStatelessDraws = 1_000_000

// StatelessSpread is a book with a question about how sure its figures are.
type StatelessSpread struct {
	Book    book.Book     `book:"book,required"`
	Request SpreadRequest `book:"request,required"`
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
