package api

import (
	"context"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/answer/study"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/rates"
)

// CurveRequest asks for figures against the batch quantity.
type CurveRequest struct {
	Day      bom.Date          `book:"day"`
	Curves   []CurveSelection  `book:"curves,required"` // one, or two to hold against one another
	From     decimal.Decimal   `book:"from,required,min=1,max=1000000000,whole"`
	To       decimal.Decimal   `book:"to,required,min=1,max=1000000000,whole"`
	Quantity *decimal.Decimal  `book:"quantity,min=1,max=1000000000,whole"` // of the batch that is to pay back; from if absent
	Marks    []decimal.Decimal `book:"marks,min=1,max=1000000000,whole"`    // quantities wanted exactly; some round ones if absent
	Breaks   int               `book:"breaks,min=0,max=200"`                // described, those with the largest effect; 40 if absent
}

// CurveSelection is a variant with a figure of it.
type CurveSelection struct {
	Product bom.ID            `book:"product"` // the one that has the trim if absent
	Trim    bom.ID            `book:"trim"`
	Choices map[bom.ID]bom.ID `book:"choices"` // in place of the trim's own
	Part    bom.ID            `book:"part"`    // alone, in place of a trim
	Margin  *bom.Number       `book:"margin,min=0,under=1"`
	Changes []change.Change   `book:"changes"`
	Figure  string            `book:"figure"` // key; the full cost if absent
}

// StatelessCurve is a book with a question about a curve.
type StatelessCurve struct {
	Book    book.Book    `book:"book,required"`
	Request CurveRequest `book:"request,required"`
}

// BandRequest asks between what amounts a piece of a part, made alone, may cost.
type BandRequest struct {
	Day    bom.Date        `book:"day"`
	Part   bom.ID          `book:"part,required"`
	Pieces decimal.Decimal `book:"pieces,required,min=1,max=1000000000,whole"`
}

// HoursRequest asks what an hour of wages comes to.
type HoursRequest struct {
	Wages []rates.Wage `book:"wages"` // those of the book if absent
}

// WageHours is what an hour of each wage comes to.
type WageHours struct {
	Hours []answer.WageHour `json:"hours"`
}

func (a *API) curveRoutes() {
	question(a, "/hours", "hours", "What an hour of each wage comes to, with the cost and the hours of its year, and what it becomes at half the hours", a.hours)
	question(a, "/bands", "band", "Between what amounts a piece of a part may cost, and what would narrow that most", a.band)
	question(a, "/curves", "curve", "Figures against the batch quantity, with every step, the least and what pays back", a.curve)
	addStateless[study.BatchCurves](a, "/stateless/curve", "stateless-curve", "Figures of the book sent along against the batch quantity", a.statelessCurve)
}

func (a *API) band(ctx context.Context, in BandRequest) (study.Band, answer.Version, error) {
	return a.service.Band(ctx, study.BandRequest{Part: in.Part, Pieces: in.Pieces.IntPart(), Day: a.dayOr(in.Day)})
}

func (a *API) hours(ctx context.Context, in HoursRequest) (WageHours, answer.Version, error) {
	b, version, err := a.service.Book(ctx)
	if err != nil {
		return WageHours{}, "", err
	}
	if in.Wages == nil {
		in.Wages = b.Wages
	}
	out, err := answer.WageHours(in.Wages, b.Currency)
	return WageHours{out}, version, err
}

func (a *API) curve(ctx context.Context, in CurveRequest) (study.BatchCurves, answer.Version, error) {
	return a.service.Curve(ctx, a.curveRequest(in))
}

func (a *API) statelessCurve(ctx context.Context, c *call, in StatelessCurve) (*reply, error) {
	a.dayIn(&in.Book, &in.Request.Day)
	return stateless(a, ctx, c, &in.Book, func() (study.BatchCurves, error) {
		return study.Curves(ctx, change.OriginOf(answer.Of(&in.Book)), a.curveRequest(in.Request))
	})
}

func (a *API) curveRequest(in CurveRequest) study.CurveRequest {
	out := study.CurveRequest{Day: a.dayOr(in.Day), From: in.From.IntPart(), To: in.To.IntPart(), Breaks: in.Breaks}
	if in.Quantity != nil {
		out.Quantity = in.Quantity.IntPart()
	}
	for _, m := range in.Marks {
		out.Marks = append(out.Marks, m.IntPart())
	}
	for _, s := range in.Curves {
		out.Curves = append(out.Curves, study.Selection{Product: s.Product, Trim: s.Trim, Choices: s.Choices, Part: s.Part, Margin: s.Margin, Changes: s.Changes, Figure: s.Figure})
	}
	return out
}
