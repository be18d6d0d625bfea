package study

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/costing/ask/curve"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// read reads a curve that has been swept.
func (w *sweep) read(ctx context.Context) (BatchCurve, error) {
	c, r := w.curve, answer.NewReader(w.Estimate.Graph, w.Values)
	out := BatchCurve{Product: w.variant.Line.Product, Trim: w.variant.Line.Name(), Part: w.variant.Line.Part, Name: w.variant.Name, Figure: r.Figure(w.figure),
		Flat: c.Flat, Changes: w.Changes, Rebuilt: w.Rebuilt, AllBreaks: Pieces(len(c.Places)),
		Runs: []CurveRun{}, Marks: []CurveAt{}, Counted: []CurveCount{}, Findings: r.Findings([]graph.ID{w.figure})}
	for _, run := range c.Runs() {
		out.Runs = append(out.Runs, CurveRun{Pieces(run.From), Pieces(run.To), run.Counted})
	}
	for _, p := range c.Marks {
		out.Marks = append(out.Marks, CurveAt{Pieces(p.Quantity), p.Value.String(), true})
	}
	for _, n := range c.Counted {
		out.Counted = append(out.Counted, CurveCount{nameOf(n.Name), Pieces(n.Changes)})
	}
	out.Findings = append(out.Findings, w.heldDraws()...)
	breaks, err := c.Breaks(ctx, w.req.Breaks)
	if err != nil {
		return out, err
	}
	out.Breaks = breaksOf(breaks)
	out.Points = w.points(out)
	least, err := c.Least(ctx)
	if err != nil {
		return out, err
	}
	settles, err := c.Settles(littleSaved)
	if err != nil {
		return BatchCurve{}, err
	}
	if settles != nil {
		out.Settles = &CurveAt{Pieces(settles.Quantity), settles.Value.String(), true}
	}
	out.Least = CurveLeast{Pieces(least.Quantity), least.Value.String(), optional(least.Below), optional(least.Above), c.Flat}
	if out.Advice, err = w.advise(ctx, r); err != nil {
		return out, err
	}
	out.PayBack, err = w.payBack(r)
	return out, err
}

// DrawsAdd is the last element of the keys of what draws add to a likely cost.
const DrawsAdd = "draws-add"

// heldDraws says of a figure that rests on what the draws add that it is held.
func (w *sweep) heldDraws() []answer.Finding {
	g := w.Estimate.Graph
	behind := g.Reached([]graph.ID{w.figure}, func(id graph.ID) []graph.ID { return g.Operation(id).RestsOn() })
	var out []answer.Finding
	for _, id := range slices.DeleteFunc(slices.Clone(g.Drawn()), func(id graph.ID) bool { return !behind[id] }) {
		n := g.Node(id)
		v, _ := w.Values.Raw(id)
		out = append(out, answer.Finding{Severity: "note", Key: n.Key, Message: fmt.Sprintf("what the draws add to the likely cost, %s %s, was drawn for a batch of %d and is held over the curve; "+
			"a batch of another quantity that is asked for has draws of its own", v.StringFixed(2), n.Unit, w.req.Quantity)})
	}
	return out
}

// points are those of the curve: the ends of every run, and between them all, or
// evenly thinned out where there are very many. What is known exactly is given so.
func (w *sweep) points(of BatchCurve) []CurveAt {
	known := map[Pieces]string{}
	for _, m := range of.Marks {
		known[m.Quantity] = m.Value
	}
	for _, b := range of.Breaks {
		known[b.UpTo], known[b.From] = b.Before, b.After
	}
	wanted := map[int64]bool{}
	for _, r := range of.Runs {
		wanted[int64(r.From)], wanted[int64(r.To)] = true, true
	}
	all := w.curve.To - w.curve.From + 1
	step := (all + maxPoints - 1) / maxPoints
	out := []CurveAt{}
	for i := range all {
		q := w.curve.From + i
		text, exactly := known[Pieces(q)]
		switch {
		case exactly:
			out = append(out, CurveAt{Pieces(q), text, true})
		case i%step == 0 || wanted[q]:
			out = append(out, CurveAt{Pieces(q), textOf(w.curve.Values[i], statisticDigits), false})
		}
	}
	return out
}

func nameOf(n curve.Name) FigureName {
	return FigureName{n.Key, n.Label, n.Of, n.Unit.String()}
}

func nameIf(n *curve.Name) *FigureName {
	if n == nil {
		return nil
	}
	out := nameOf(*n)
	return &out
}

// optional writes a decimal that may not be there.
func optional(d *decimal.Decimal) string {
	if d == nil {
		return ""
	}
	return d.String()
}

func breaksOf(of []curve.Break) []CurveBreak {
	out := []CurveBreak{}
	for _, b := range of {
		out = append(out, CurveBreak{Pieces(b.UpTo), Pieces(b.From), b.Before.String(), b.After.String(), optional(b.Effect),
			stepsOf(b.Causes), stepsOf(b.Follows)})
	}
	return out
}

func stepsOf(of []curve.Step) []CurveStep {
	out := []CurveStep{}
	for _, s := range of {
		step := CurveStep{Figure: nameOf(s.Name), Was: optional(s.Was), Is: optional(s.Is), Took: nameIf(s.Took), Takes: nameIf(s.Takes), Effect: optional(s.Effect)}
		step.Words = step.words()
		out = append(out, step)
	}
	return out
}

// words says what steps.
func (s CurveStep) words() string {
	what := s.Figure.words()
	if s.Took != nil && s.Takes != nil {
		return fmt.Sprintf("%s: %s instead of %s", what, s.Takes.words(), s.Took.words())
	}
	const none = "no value"
	return strings.TrimSpace(fmt.Sprintf("%s: %s instead of %s %s", what, cmp.Or(s.Is, none), cmp.Or(s.Was, none), s.Figure.Unit))
}

// words names a figure with its thing.
func (n FigureName) words() string {
	if n.Of == "" {
		return n.Label
	}
	return n.Of + ": " + n.Label
}

// payBack asks, in every channel, what pays the batch back.
func (w *sweep) payBack(r answer.Reader) ([]PayBack, error) {
	out := []PayBack{}
	for _, p := range w.variant.Prices {
		one := PayBack{Channel: p.Channel, Unit: w.Estimate.Graph.Node(p.Shelf).Unit.String(), Asked: r.Figure(p.Shelf)}
		hold := maps.Clone(w.hold)
		hold[w.variant.Quantity] = decimal.New(w.req.Quantity, 0)
		back, err := curve.PayBack(w.Evaluator(), curve.Sale{Pieces: w.variant.Quantity, Full: p.Cost,
			Wanted: p.Wanted, List: p.List, Free: p.Free, Shelf: p.Shelf, Profit: p.Profit}, hold)
		var none *exact.UndefinedError
		switch {
		case errors.As(err, &none):
			one.Why = err.Error()
		case err != nil:
			return nil, err
		default:
			one.Free, one.Point, one.Sell, one.Pays = optional(back.Free), optional(back.AtPoint), optional(back.Sell), back.Pays
		}
		out = append(out, one)
	}
	return out, nil
}

var lowerWords = map[curve.Lower]string{curve.First: LowerFirst, curve.Second: LowerSecond, curve.Equal: LowerEqual}

func duelOf(c *curve.Comparison) *CurveDuel {
	out := &CurveDuel{Stretches: []CurveStretch{}, Crossings: []CurveCrossing{}}
	for _, s := range c.Stretches {
		out.Stretches = append(out.Stretches, CurveStretch{Pieces(s.From), Pieces(s.To), lowerWords[s.Lower]})
	}
	for _, x := range c.Crossings {
		one := CurveCrossing{UpTo: Pieces(x.UpTo), From: Pieces(x.From), Before: lowerWords[x.Before], After: lowerWords[x.After], Touches: x.Touches()}
		if x.Level != nil {
			one.Level = &CurveRun{From: Pieces(x.Level.From), To: Pieces(x.Level.To)}
		}
		for i, v := range x.Values {
			one.Values[i] = CurvePair{Pieces(v.Quantity), v.First.String(), v.Second.String()}
		}
		out.Crossings = append(out.Crossings, one)
	}
	return out
}
