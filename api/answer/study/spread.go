package study

import (
	"context"
	"maps"
	"slices"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/bom"
	"kerfbook/costing/ask/simulate"
	"kerfbook/costing/graph"
)

// What is drawn where nothing else is said.
const (
	DefaultDraws = 20_000
	DefaultSeed  = 1
)

// DrawLimit says in words how many draws can be asked for; what the chances of
// prices need and the figure whose inputs are ranked are figures too.
const DrawLimit = "At most 10,000,000 draws are made, and at most 20,000,000 draws × figures."

// SpreadRequest asks how sure figures of a batch are and what moves them. Figures
// are named by their keys.
type SpreadRequest struct {
	change.Batch
	// Figures to draw; none means cost of production and full cost of every
	// variant, and in every channel the price asked before the price point and the
	// margin at the price asked.
	Figures []string
	// Movers is the figure whose inputs are ranked; empty means the full cost of
	// the first variant.
	Movers       string
	Draws        int
	Seed         uint64
	Precision    *SpreadPrecision // nil makes all draws
	Hindsight    bool             // choices follow each draw, as if it were known beforehand
	Correlations []RankCorrelation
	Prices       []PriceQuestion
}

// SpreadPrecision ends the draws as soon as a quantile is known well enough.
type SpreadPrecision struct {
	Figure   string          `book:"figure"`            // empty means the one whose inputs are ranked
	Quantile decimal.Decimal `book:"quantile,required"` // between 0 and 1
	Relative decimal.Decimal `book:"relative,required"` // standard error ÷ value
}

// RankCorrelation joins two inputs that are ranges.
type RankCorrelation struct {
	A    string          `book:"a,required"`
	B    string          `book:"b,required"`
	Rank decimal.Decimal `book:"rank,required"` // between −1 and 1
}

// PriceQuestion asks for the chance at a price, and for the price with a chance.
type PriceQuestion struct {
	Trim    string           `book:"trim"`    // by its name in the mix; empty means every variant
	Channel bom.ID           `book:"channel"` // empty means every channel
	Price   *decimal.Decimal `book:"price"`
	Chance  *decimal.Decimal `book:"chance"`
}

// spreading is a request with its figures found.
type spreading struct {
	*change.Trial
	origin  change.Origin
	req     SpreadRequest
	reader  answer.Reader
	shown   []graph.ID // figures of the answer
	drawn   []graph.ID // those, and what the chances need
	movers  graph.ID
	pricing []pricing
	draw    simulate.Request
	likely  map[graph.ID]string // of what was drawn, at the likely values and the price asked
}

// NewSpreading finds what a request names, and refuses what can be refused without
// a draw. Faults have pointers into the request.
func NewSpreading(ctx context.Context, o change.Origin, req SpreadRequest) (*spreading, error) {
	c, err := o.Consider(ctx, req.Batch)
	if err != nil {
		return nil, err
	}
	if err := answer.Complete(c.Estimate.Graph, c.Values, answer.Headline(c.Estimate)...); err != nil {
		return nil, err
	}
	q := &spreading{Trial: c, origin: o, req: req, reader: answer.NewReader(c.Estimate.Graph, c.Values)}
	if err := q.find(); err != nil {
		return nil, err
	}
	return q, nil
}

const noSpread = "the spread cannot be drawn"

// find collects all that is wrong with what is named.
func (q *spreading) find() error {
	f := &answer.Finder{G: q.Estimate.Graph, Refused: answer.Invalidf(noSpread)}
	q.pricing = q.channels()
	questions(f, q.req.Prices, q.pricing)
	q.movers = q.Estimate.Variants[0].Full
	if q.req.Movers != "" {
		q.movers = f.Key("/movers", q.req.Movers)
	}
	for i, key := range q.req.Figures {
		id := f.Key(answer.Indexed("/figures", i), key)
		if id != graph.None && slices.Contains(q.shown, id) {
			f.Add(answer.Indexed("/figures", i), "%s is named twice", bom.Shorten(key))
		}
		q.shown = append(q.shown, id)
	}
	if len(q.req.Figures) == 0 {
		q.shown = q.usual()
	}
	q.drawn = slices.Clone(q.shown)
	for _, p := range q.pricing {
		if p.why == "" {
			q.drawn = append(q.drawn, p.Required)
		}
	}
	q.drawn = answer.Compact(append(q.drawn, q.movers))
	q.request(f)
	return f.Err()
}

// usual are the figures drawn where none are named: those that have a value.
func (q *spreading) usual() []graph.ID {
	var out []graph.ID
	for _, v := range q.Estimate.Variants {
		out = append(out, v.Production, v.Full)
		for _, p := range v.Prices {
			out = append(out, p.Required, p.Margin)
		}
	}
	return slices.DeleteFunc(answer.Compact(out), func(id graph.ID) bool { return !q.Values.Defined(id) })
}

// request fills in what the engine is asked.
func (q *spreading) request(f *answer.Finder) {
	r := &q.draw
	*r = simulate.Request{Outputs: q.drawn, Draws: q.req.Draws, Seed: q.req.Seed, Hindsight: q.req.Hindsight, Hold: map[graph.ID]decimal.Decimal{}}
	maps.Copy(r.Hold, q.Hold)
	for i, c := range q.req.Correlations {
		at := answer.Indexed("/correlations", i)
		r.Correlations = append(r.Correlations, simulate.Correlation{A: f.Key(at+"/a", c.A), B: f.Key(at+"/b", c.B), Rank: floatOf(c.Rank)})
	}
	p := q.req.Precision
	if p == nil {
		return
	}
	of := q.movers
	if p.Figure != "" {
		of = f.Key("/precision/figure", p.Figure)
		r.Outputs = answer.Compact(append(r.Outputs, of))
	}
	r.Precision = &simulate.Precision{Output: slices.Index(r.Outputs, of), P: floatOf(p.Quantile), Relative: floatOf(p.Relative)}
}

// shareDraws bounds each of the two samples behind variance shares, which need
// far fewer draws than the tail of a spread.
const shareDraws = 20_000

// apart is how many inputs, those with the widest swings, have a share of their own. All
// of a shop of a thousand parts would take a thousand runs, and nobody reads on so far.
const apart = 20

// Answer draws.
func (q *spreading) Answer(ctx context.Context, report func(done, total int)) (Spread, error) {
	result, err := simulate.Run(ctx, q.Evaluator(), q.draw, func(done, total int) { report(done, total+shareDraws) })
	if err != nil {
		return Spread{}, q.fault(err)
	}
	q.likely = map[graph.ID]string{}
	for _, o := range result.Outputs {
		q.likely[o.ID] = o.Likely.String()
	}
	out := q.spread(result)
	if out.Channels, err = q.chances(result); err != nil {
		return Spread{}, q.fault(err)
	}
	bars, err := simulate.Tornado(ctx, q.Evaluator(), q.movers, q.draw)
	if err != nil {
		return Spread{}, q.fault(err)
	}
	moved := q.draw
	moved.Draws, moved.Apart = min(q.draw.Draws, shareDraws), []graph.ID{}
	for _, b := range bars[:min(apart, len(bars))] {
		moved.Apart = append(moved.Apart, b.Input)
	}
	shares, err := simulate.Shares(ctx, q.Evaluator(), q.movers, moved, func(done, total int) { report(result.Draws+done, result.Draws+total) })
	if err != nil {
		return Spread{}, q.fault(err)
	}
	out.Movers = q.moverOf(bars, shares)
	return out, nil
}
