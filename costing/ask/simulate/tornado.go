package simulate

import (
	"context"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// Ranking tells what each input alone does to a figure, the widest swing first.
type Ranking struct {
	Figure
	Likely decimal.Decimal // exact, with every input at its likely value
	Bars   []Bar
}

// Bar is a figure with one input at its P10 and at its P90 and every other input
// at its likely value.
type Bar struct {
	Input Figure
	// P10 and P90 of the input, rounded to 12 significant digits.
	P10, P90 decimal.Decimal
	// AtP10 and AtP90 are the exact figure; nil where it has no value there.
	AtP10, AtP90 *decimal.Decimal
	// Swing is |AtP90 − AtP10|; zero where one of them is nil.
	Swing decimal.Decimal
	// Correlated inputs move together in the draws of [Run], but not here.
	Correlated bool
}

// Sensitivity is what the inputs do to each output, one at a time.
type Sensitivity struct {
	Held, Free []Decision // as in Result
	Rankings   []Ranking  // per output
}

// Tornado evaluates the outputs exactly with each range at its P10 and at its
// P90, the other inputs at their likely values and decisions held as in [Run].
// Draws, Seed and Precision of the request are not used. progress, which may be
// nil, counts evaluations. The errors are those of [Run].
func Tornado(ctx context.Context, g *graph.Graph, r Request, progress func(done, total int)) (*Sensitivity, error) {
	s, err := newSubject(g, &r)
	if err != nil {
		return nil, err
	}
	t := newTornado(s)
	tell := newProgress(len(t.at), 1, progress)
	p := &pool{progress: tell.blocks}
	for range r.cores(len(t.at)) {
		p.runners = append(p.runners, t.evaluate)
	}
	if err := p.run(ctx, 0, len(t.at)); err != nil {
		return nil, err
	}
	tell.end(len(t.at))
	out := &Sensitivity{Held: s.held, Free: s.free}
	for i, id := range r.Outputs {
		out.Rankings = append(out.Rankings, Ranking{Figure: figureOf(g, id), Likely: s.likely[i], Bars: t.bars(i)})
	}
	return out, nil
}

// tornado holds the evaluations: the even ones with an input at its P10, the odd
// ones at its P90.
type tornado struct {
	s       *subject
	at      []decimal.Decimal    // value of input i/2
	outputs [][]*decimal.Decimal // per evaluation and output
}

func newTornado(s *subject) *tornado {
	t := &tornado{s: s, outputs: make([][]*decimal.Decimal, 2*len(s.inputs))}
	for _, in := range s.inputs {
		t.at = append(t.at, toDecimal(in.spread.Quantile(0.10)), toDecimal(in.spread.Quantile(0.90)))
	}
	return t
}

// evaluate is safe to be called at once for different evaluations.
func (t *tornado) evaluate(i int) error {
	pins := exact.Pins{t.s.inputs[i/2].id: t.at[i]}
	for id, v := range t.s.pins {
		pins[id] = v
	}
	values, err := t.s.exact.Evaluate(pins)
	if err != nil {
		return err
	}
	for _, id := range t.s.request.Outputs {
		if v, ok := values.Raw(id); ok {
			t.outputs[i] = append(t.outputs[i], &v)
		} else {
			t.outputs[i] = append(t.outputs[i], nil)
		}
	}
	return nil
}

// bars ranks the inputs by their swing; of equal ones the smaller key is first.
func (t *tornado) bars(output int) []Bar {
	var bars []Bar
	for i, in := range t.s.inputs {
		b := Bar{Input: figureOf(t.s.g, in.id), P10: t.at[2*i], P90: t.at[2*i+1], Correlated: in.group >= 0,
			AtP10: t.outputs[2*i][output], AtP90: t.outputs[2*i+1][output]}
		if b.AtP10 != nil && b.AtP90 != nil {
			b.Swing = b.AtP90.Sub(*b.AtP10).Abs()
		}
		bars = append(bars, b)
	}
	slices.SortStableFunc(bars, func(a, b Bar) int { return b.Swing.Cmp(a.Swing) })
	return bars
}

// inputDigits is how many significant digits the P10 or P90 of an input has.
const inputDigits = 12

// toDecimal writes a float as a decimal of inputDigits digits, trailing zeros
// left out.
func toDecimal(v float64) decimal.Decimal {
	digits, exponent, _ := strings.Cut(strconv.FormatFloat(v, 'e', inputDigits-1, 64), "e")
	digits = strings.TrimRight(strings.TrimRight(digits, "0"), ".")
	d, err := decimal.NewFromString(digits + "e" + exponent)
	if err != nil {
		return decimal.Decimal{} // a range is finite
	}
	return d
}
