package study

import (
	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/costing/ask/simulate"
	"kerfbook/costing/graph"
)

// spread reads the result of a run.
func (q *spreading) spread(r *simulate.Result) Spread {
	out := Spread{Version: q.origin.Version, Book: q.origin.Book.Name, Day: q.Estimate.Day, Currency: string(q.origin.Book.Currency),
		Mix: mixLines(q.Trial), Seed: q.draw.Seed, Draws: r.Draws, Hindsight: q.req.Hindsight,
		Changes: q.Changes, Rebuilt: q.Rebuilt, Inputs: []VaryingInput{}, Figures: []SpreadFigure{},
		Held: q.choices(r.Held), Free: q.choices(r.Free), Findings: q.reader.Findings(q.shown)}
	if q.req.Precision != nil {
		out.PrecisionReached = &r.Reached
	}
	for _, in := range r.Inputs {
		out.Inputs = append(out.Inputs, q.input(in))
	}
	for _, id := range q.Fixed {
		f := q.reader.Figure(id)
		out.Held = append(out.Held, HeldChoice{f, "fixed at " + answer.InWords(f) + ", no longer a range"})
	}
	for i := range r.Outputs[:len(q.shown)] {
		out.Figures = append(out.Figures, q.figure(&r.Outputs[i]))
	}
	return out
}

func mixLines(c *change.Trial) []answer.MixLine {
	var out []answer.MixLine
	for _, v := range c.Estimate.Variants {
		out = append(out, answer.MixLine{Product: v.Line.Product, Trim: v.Line.Name(), Part: v.Line.Part, Quantity: answer.ReadFigure(c.Estimate.Graph, c.Values, v.Quantity)})
	}
	return out
}

// input reads a range.
func (q *spreading) input(id graph.ID) VaryingInput {
	n := q.Estimate.Graph.Node(id)
	in := VaryingInput{Input: q.reader.Figure(id), Low: n.Low.String(), High: n.High.String(), Shape: n.Shape.String()}
	if !n.SD.IsZero() {
		in.Deviation = n.SD.String()
	}
	for _, c := range q.draw.Correlations {
		in.Group = in.Group || c.Rank != 0 && (c.A == id || c.B == id)
	}
	return in
}

// choices reads what was held or followed, prices after what they are made of.
func (q *spreading) choices(of []simulate.Decision) []HeldChoice {
	out := []HeldChoice{}
	for _, asked := range []bool{false, true} {
		for _, d := range of {
			if d.Asked == asked {
				out = append(out, HeldChoice{q.reader.Figure(d.ID), d.Choice})
			}
		}
	}
	return out
}

func (q *spreading) figure(o *simulate.Output) SpreadFigure {
	out := SpreadFigure{Figure: q.called(o.ID), Varies: o.Defined() != 1, Mean: statisticOf(o.Mean), Deviation: statisticOf(o.Deviation),
		Quantiles: []QuantileValue{}, Histogram: binsOf(o.Histogram), Curve: []CurvePoint{}, Undefined: o.Undefined}
	low, high := o.Ends()
	out.Lowest, out.Highest = textOf(low, statisticDigits), textOf(high, statisticDigits)
	for _, p := range o.Quantiles {
		out.Quantiles = append(out.Quantiles, QuantileValue{textOf(p.P, statisticDigits), statisticOf(p.Estimate)})
	}
	for _, p := range o.Curve {
		out.Curve = append(out.Curve, CurvePoint{textOf(p.X, statisticDigits), textOf(p.Share, statisticDigits)})
	}
	return out
}

func binsOf(h simulate.Histogram) Bins {
	out := Bins{Edges: []string{}, Counts: h.Counts}
	for _, e := range h.Edges {
		out.Edges = append(out.Edges, textOf(e, statisticDigits))
	}
	if out.Counts == nil {
		out.Counts = []int{}
	}
	return out
}

// moverOf reads both rankings.
func (q *spreading) moverOf(bars []simulate.Bar, p *simulate.Partition) Movers {
	out := Movers{Figure: q.called(q.movers), Tornado: []Swing{}, Shares: []VarianceShare{}, ShareDraws: p.Draws, Undefined: p.Undefined}
	for _, b := range bars {
		s := Swing{Input: q.reader.Figure(b.Input), P10: b.P10.String(), P90: b.P90.String(), FigureAtP10: optional(b.AtP10), FigureAtP90: optional(b.AtP90),
			Swing: b.Swing.String(), Correlated: b.Correlated}
		if b.AtP10 == nil || b.AtP90 == nil {
			s.Swing = ""
		}
		out.Tornado = append(out.Tornado, s)
	}
	for _, sh := range p.Shares {
		v := VarianceShare{Inputs: []answer.Figure{}, Others: sh.Others, First: statisticOf(sh.First), Total: statisticOf(sh.Total), NearZero: sh.Total.NearZero()}
		for _, in := range sh.Inputs {
			v.Inputs = append(v.Inputs, q.reader.Figure(in))
		}
		out.Shares = append(out.Shares, v)
	}
	if len(out.Shares) == 1 {
		only := &out.Shares[0]
		only.First, only.Total, only.NearZero = certain("1"), certain("1"), false
		out.ShareDraws = 0
	}
	return out
}

// called reads a figure that is drawn, at the likely values. A price that meets what is
// wanted is called so, lest it be taken for the price asked.
func (q *spreading) called(id graph.ID) answer.Figure {
	f := q.reader.Figure(id)
	if likely, drawn := q.likely[id]; drawn {
		f.Value = likely
	}
	for _, p := range q.pricing {
		if p.Required == id && p.wanted() != graph.None {
			f.Label = "price needed for the " + q.Estimate.Graph.Node(p.wanted()).Label
		}
	}
	return f
}
