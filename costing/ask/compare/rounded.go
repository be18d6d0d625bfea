package compare

import (
	"fmt"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// Rounded are amounts rounded so that they still add up. Every figure is a node of
// Graph under its key, with the steps of the rounding behind it.
type Rounded struct {
	Graph  *graph.Graph
	Values *exact.Values
	// From, To and Difference are the levels before and after, rounded, and
	// To − From, to which the amounts add up.
	From, To, Difference Cents
	Steps                []RoundedStep
}

// Cents is a figure of the graph of a rounding.
type Cents struct {
	Key   string
	Value decimal.Decimal
}

// RoundedStep is one amount rounded. Level is what has been reached with it.
// Percent is its share of the difference, to a tenth, rounded so that the shares
// come to 100; Known is false where the difference is nothing.
type RoundedStep struct {
	Amount, Level, Percent Cents
	Known                  bool
}

// Round rounds amounts in a unit to whole steps, such as the smallest unit of a
// currency. The amount k is what is reached with it, rounded, less what is reached
// before it, rounded (design of the shares of cents: round(up to k) − round(up to
// k−1)), so the amounts add up to what the ends, rounded, are apart.
//
// from is the level the amounts start at. From zero, they add up to their rounded
// sum, and a list of shares stands for itself. From the headline before, they lead
// from its rounded value to that of the headline after, as a waterfall does. The
// two can differ by one step. The error joins *graph.FaultError.
func Round(from decimal.Decimal, amounts []decimal.Decimal, unit graph.Unit, step decimal.Decimal) (*Rounded, error) {
	b := graph.NewBuilder(graph.Limits{MaxNodes: nodesPerStep*len(amounts) + nodesPerRounding})
	w := &rounding{s: b.Root().In("compare"), unit: unit}
	w.step = w.s.Fixed("rounding-step", "smallest amount shown", unit, step, "")
	w.write(entered(from), amounts)
	g, err := b.Build()
	if err != nil {
		return nil, err
	}
	values, err := exact.Evaluate(g, nil)
	if err != nil {
		return nil, err
	}
	return w.read(g, values), nil
}

// A rounding writes so many nodes at most.
const nodesPerStep, nodesPerRounding = 10, 10

// rounding writes the nodes of a rounding.
type rounding struct {
	s                graph.Scope
	unit             graph.Unit
	step             graph.ID
	from, to, differ graph.ID
	steps            []roundedIDs
}

type roundedIDs struct{ amount, level, percent graph.ID }

func (w *rounding) write(from decimal.Decimal, amounts []decimal.Decimal) {
	s := w.s
	start := s.Input("from", "where the amounts start", w.unit, from)
	whole := s.Input("whole", "all amounts together", w.unit, entered(total(amounts)))
	w.from = s.Round("from-rounded", "where the amounts start, rounded", start, w.step)
	w.to = w.from
	percentStep := s.Fixed("tenth", "one tenth", graph.Plain, decimal.New(1, -1), "definition")
	percentBefore := s.Zero(graph.Plain)
	upTo := graph.None
	for i, amount := range amounts {
		at := s.In("step", fmt.Sprint(i+1))
		exactly := at.Input("exactly", "amount before rounding", w.unit, entered(amount))
		if upTo == graph.None {
			upTo = exactly
		} else {
			upTo = at.Add("up-to", "amounts up to this one", upTo, exactly)
		}
		ids := roundedIDs{level: at.Round("level", "reached with this amount", at.Add("level-unrounded", "reached, before rounding", start, upTo), w.step)}
		ids.amount = at.Subtract("amount", "amount", ids.level, w.to)
		w.to = ids.level
		percent := at.Round("percent-up-to", "percent up to this one", at.Multiply("percent-unrounded", "percent, before rounding",
			at.Divide("share", "share up to this one", upTo, whole), at.Fixed("hundred", "hundred", graph.Plain, decimal.New(100, 0), "definition")), percentStep)
		ids.percent = at.Subtract("percent", "percent of the difference", percent, percentBefore)
		percentBefore = percent
		w.steps = append(w.steps, ids)
	}
	w.differ = s.Subtract("difference", "difference of what is shown", w.to, w.from)
}

func (w *rounding) read(g *graph.Graph, values *exact.Values) *Rounded {
	cents := func(id graph.ID) Cents {
		v, _ := values.Raw(id)
		return Cents{g.Node(id).Key, v}
	}
	r := &Rounded{Graph: g, Values: values, From: cents(w.from), To: cents(w.to), Difference: cents(w.differ)}
	for _, ids := range w.steps {
		r.Steps = append(r.Steps, RoundedStep{cents(ids.amount), cents(ids.level), cents(ids.percent), values.Defined(ids.percent)})
	}
	return r
}
