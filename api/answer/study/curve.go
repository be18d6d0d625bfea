package study

import (
	"cmp"
	"context"
	"errors"
	"maps"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/bom"
	"kerfbook/costing/ask/curve"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/text"
)

// CurveRequest asks for figures against the batch quantity.
type CurveRequest struct {
	Day      bom.Date
	Curves   []Selection // one or two
	From, To int64
	// Quantity is of the batch that is to pay back; 0 means From.
	Quantity int64
	// Marks are quantities wanted exactly; none means some round ones.
	Marks []int64
	// Breaks is how many breaks are described, those with the largest effect; 0
	// means DefaultBreaks.
	Breaks int
}

// Selection is a variant with a figure of it.
type Selection struct {
	Product bom.ID // empty: the one that has the trim
	Trim    bom.ID
	Choices map[bom.ID]bom.ID
	Part    bom.ID      // alone, in place of product and trim
	Margin  *bom.Number // asked of the part
	Changes []change.Change
	Figure  string // key; empty means full cost
}

// SelectionOf is what a line of a mix makes, in whatever quantity, with a figure of it.
func SelectionOf(l estimate.MixLine, figure string) Selection {
	return Selection{Product: l.Product, Trim: l.Trim, Choices: l.Choices, Part: l.Part, Margin: l.Margin, Figure: figure}
}

// DefaultBreaks is how many breaks are described where nothing else is said.
const DefaultBreaks = 40

// Bounds of an answer.
const (
	maxPoints = 1_000 // beside the ends of runs
	maxBreaks = 200
	maxMarks  = 50
)

// littleSaved is the share of a figure below which what a doubling saves is little.
const littleSaved = 0.05

// Curves draws figures of a book against the batch quantity. Faults have pointers
// into the request.
func Curves(ctx context.Context, o change.Origin, req CurveRequest) (BatchCurves, error) {
	req, err := req.filled()
	if err != nil {
		return BatchCurves{}, err
	}
	out := BatchCurves{Version: o.Version, Book: o.Book.Name, Day: req.Day, Currency: string(o.Book.Currency),
		From: Pieces(req.From), To: Pieces(req.To), Quantity: Pieces(req.Quantity)}
	var drawn []*sweep
	for i, sel := range req.Curves {
		w, err := newSweep(ctx, o, req, sel)
		if err != nil {
			return BatchCurves{}, curveFault(i, err)
		}
		c, err := w.read(ctx)
		if err != nil {
			return BatchCurves{}, curveFault(i, err)
		}
		drawn, out.Curves = append(drawn, w), append(out.Curves, c)
	}
	if len(drawn) == 2 {
		duel, err := curve.Crossings(ctx, drawn[0].curve, drawn[1].curve)
		if err != nil {
			return BatchCurves{}, curveFault(1, err)
		}
		out.Crossing = duelOf(duel)
	}
	return out, nil
}

// filled puts in what is meant where nothing is said, and checks the bounds of a
// request as a whole.
func (r CurveRequest) filled() (CurveRequest, error) {
	f := &answer.Finder{Refused: answer.Invalidf(noCurve)}
	if len(r.Curves) == 0 || len(r.Curves) > 2 {
		f.Add("/curves", "%d variants; name one, or two to hold against one another", len(r.Curves))
	}
	r.Quantity = cmp.Or(r.Quantity, max(r.From, 1)) // a range that begins with nothing is refused as such
	if r.Quantity < 1 || r.Quantity > curve.MaxQuantity {
		f.Add("/quantity", "a batch has 1 to %d pieces", curve.MaxQuantity)
	}
	r.Breaks = cmp.Or(r.Breaks, DefaultBreaks)
	if r.Breaks < 1 || r.Breaks > maxBreaks {
		f.Add("/breaks", "%d breaks; 1 to %d are described", r.Breaks, maxBreaks)
	}
	if len(r.Marks) > maxMarks {
		f.Add("/marks", "%d quantities; at most %d are marked", len(r.Marks), maxMarks)
	}
	if len(r.Marks) == 0 {
		r.Marks = roundQuantities(r.From, r.To)
	}
	return r, f.Err()
}

// roundQuantities are the ends of a range and 1, 2, 5, 10, … in between.
func roundQuantities(from, to int64) []int64 {
	out := []int64{from}
	for power := int64(1); power < to; power *= 10 {
		for _, q := range []int64{power, 2 * power, 5 * power} {
			if q > from && q < to {
				out = append(out, q)
			}
		}
	}
	if to > from {
		out = append(out, to)
	}
	return out
}

// sweep is one curve under way.
type sweep struct {
	*change.Trial
	req     CurveRequest
	variant estimate.Variant
	figure  graph.ID
	hold    exact.Pins // without the quantity, which moves
	curve   *curve.Curve
}

func newSweep(ctx context.Context, o change.Origin, req CurveRequest, sel Selection) (*sweep, error) {
	line, err := line(o, sel, req.Quantity)
	if err != nil {
		return nil, err
	}
	c, err := o.Consider(ctx, change.Batch{Mix: []estimate.MixLine{line}, Day: req.Day, Changes: sel.Changes})
	if err != nil {
		return nil, err
	}
	if err := answer.Complete(c.Estimate.Graph, c.Values, answer.Headline(c.Estimate)...); err != nil {
		return nil, err
	}
	w := &sweep{Trial: c, req: req, variant: c.Estimate.Variants[0], hold: maps.Clone(c.Hold)}
	delete(w.hold, w.variant.Quantity)
	w.figure = w.variant.Full
	if sel.Figure != "" {
		f := &answer.Finder{G: c.Estimate.Graph, Refused: answer.Invalidf(noCurve)}
		w.figure = f.Key("/figure", sel.Figure)
		if err := f.Err(); err != nil {
			return nil, err
		}
	}
	w.curve, err = curve.Sweep(ctx, c.Estimate.Graph, curve.Request{Figure: w.figure, Quantity: w.variant.Quantity,
		From: req.From, To: req.To, Hold: w.hold, Full: w.variant.Full, Marks: req.Marks})
	return w, err
}

// line is a variant as a batch.
func line(o change.Origin, sel Selection, quantity int64) (estimate.MixLine, error) {
	if sel.Part != "" {
		return estimate.MixLine{Product: sel.Product, Trim: sel.Trim, Choices: sel.Choices, Part: sel.Part, Margin: sel.Margin, Quantity: bom.Exactly(decimal.New(quantity, 0))}, nil
	}
	if sel.Product == "" {
		p, err := answer.ProductOf(o.Book, sel.Trim)
		if err != nil {
			return estimate.MixLine{}, refused(noCurve, "/trim", "%s", err)
		}
		sel.Product = p.Number
	}
	return estimate.MixLine{Product: sel.Product, Trim: sel.Trim, Choices: sel.Choices, Quantity: bom.Exactly(decimal.New(quantity, 0))}, nil
}

const noCurve = "the curve cannot be drawn"

// refused says what is wrong at one place of a request.
func refused(what, pointer, format string, args ...any) error {
	f := &answer.Finder{Refused: answer.Invalidf("%s", what)}
	f.Add(pointer, format, args...)
	return f.Err()
}

// curveFault words an error about one of the curves. The range and the marks are
// asked of all curves at once.
func curveFault(i int, err error) error {
	var request *curve.RequestError
	var quantity *curve.QuantityError
	at := answer.Indexed("/curves", i)
	switch {
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return err
	case errors.As(err, &request):
		if whole, _, _ := strings.Cut(request.Field, "["); slices.Contains([]string{"from", "to", "marks"}, whole) {
			at = text.Pointer(request.Field)
		}
		return refused(noCurve, at, "%s; %s", request.Message, request.Remedy)
	case errors.As(err, &quantity):
		return refused(noCurve, at, "%s", quantity)
	}
	return answer.PointedAt(at, answer.Uncomputable(err))
}
