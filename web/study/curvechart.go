package study

import (
	"strconv"

	"kerfbook/api/answer/study"
	"kerfbook/web/chart"
)

// chart draws the curves with the least of each and where they cross.
func (l *curveLayout) chart() chart.StepCurve {
	d := chart.StepCurveData{ID: "curve", Quantity: "pieces in the batch", Figure: l.manner().words(), Table: l.marks(), Title: l.title(),
		Desc: "Lines end where the figure steps; a filled dot belongs to the quantity it stands at, an empty one does not."}
	for i, c := range l.answer.Curves {
		d.Curves = append(d.Curves, chart.Curve{Name: l.name(i), Runs: l.runs(c), Breaks: int(c.AllBreaks)})
		if c.Flat || c.Least.Flat {
			continue
		}
		if len(l.answer.Curves) == 1 {
			d.Marks = append(d.Marks, l.asked(c)...)
		}
		name := "least"
		if len(l.answer.Curves) == 2 {
			name = "least of " + l.name(i)
		}
		d.Marks = append(d.Marks, l.spot(i, name, "least", l.pieces(curveAt(i)+"/least/quantity", c.Least.Quantity), c.Least.Quantity, c.Least.Value))
	}
	if l.answer.Crossing != nil {
		d.Marks = append(d.Marks, l.crossings(l.answer.Crossing)...)
	}
	return chart.NewStepCurve(d)
}

// asked marks what is asked for, and how many to make instead.
func (l *curveLayout) asked(c study.BatchCurve) []chart.CurveSpot {
	var out []chart.CurveSpot
	if n := l.answer.Quantity; n >= l.answer.From && n <= l.answer.To {
		out = append(out, l.spot(0, "asked", "target", l.pieces("/quantity", n), n, c.Figure.Value))
	}
	if a := c.Advice; a != nil && a.Rises && isFull(c) && a.Make != l.answer.Quantity {
		out = append(out, l.spot(0, "make", "likely", l.pieces(curveAt(0)+"/advice/make", a.Make), a.Make, a.Step.Each))
	}
	return out
}

func (l *curveLayout) title() string {
	title := l.answer.Curves[0].Figure.Label + " of a piece by batch quantity: " + l.name(0)
	if len(l.answer.Curves) == 2 {
		title += " and " + l.name(1)
	}
	return title
}

func (l *curveLayout) spot(i int, label, class string, quantity chart.Mark, n study.Pieces, value string) chart.CurveSpot {
	return chart.CurveSpot{Spot: chart.Spot{Mark: called(label, quantity), Class: class}, Level: markOf(l.value(i, n, value))}
}

// mostCrossings is how many crossings are marked; the words tell all.
const mostCrossings = 3

func (l *curveLayout) crossings(of *study.CurveDuel) []chart.CurveSpot {
	var out []chart.CurveSpot
	for i, x := range of.Crossings {
		if len(of.Crossings) > mostCrossings || x.After == study.LowerEqual {
			continue
		}
		lower, value := 0, x.Values[1].First
		if x.After == study.LowerSecond {
			lower, value = 1, x.Values[1].Second
		}
		at := "/crossing/crossings/" + strconv.Itoa(i) + "/from"
		out = append(out, l.spot(lower, l.name(lower)+" from", "crossing", l.pieces(at, x.From), x.From, value))
	}
	return out
}

// runs turns the stretches of a curve into lines. Where something is counted piece
// by piece the points stand alone.
func (l *curveLayout) runs(c study.BatchCurve) []chart.Run {
	var out []chart.Run
	breaks := map[study.Pieces]study.CurveBreak{}
	for _, b := range c.Breaks {
		breaks[b.UpTo] = b
	}
	k := 0
	for _, r := range c.Runs {
		var run chart.Run
		for ; k < len(c.Points) && c.Points[k].Quantity <= r.To; k++ {
			p := chart.Point{X: float64(c.Points[k].Quantity), Y: floatAt(c.Points[k].Value)}
			if r.Counted && len(run.Points) > 0 {
				out, run = append(out, run), chart.Run{}
			}
			run.Points = append(run.Points, p)
		}
		if b, ok := breaks[r.To]; ok && isFull(c) && len(run.Points) > 0 {
			run.Points, run.OpenEnd = append(run.Points, withoutStep(b)), true
		}
		if len(run.Points) > 0 {
			out = append(out, run)
		}
	}
	return out
}

// isFull tells whether the figure is the one that effects of breaks are told in.
func isFull(c study.BatchCurve) bool { return c.Figure.Key == "variant/"+c.Trim+"/each/full" }

// withoutStep is where the curve would stand at the first quantity after a break
// if nothing stepped there. It is a place on the page and no figure.
func withoutStep(b study.CurveBreak) chart.Point {
	n := float64(b.From)
	return chart.Point{X: n, Y: floatAt(b.After) - floatAt(b.Effect)/n}
}

// marks is the table of exact values at some quantities.
func (l *curveLayout) marks() chart.Table {
	t := chart.Table{ID: "curve-table", Caption: "Exact values, " + l.manner().words(), Heads: []chart.Head{{Name: "Pieces in the batch"}}}
	for i, c := range l.answer.Curves {
		t.Heads = append(t.Heads, chart.Head{Name: l.name(i), Num: true})
		for k, m := range c.Marks {
			if i == 0 {
				t.Rows = append(t.Rows, chart.Row{Name: strconv.FormatInt(int64(m.Quantity), 10)})
			}
			t.Rows[k].Cells = append(t.Rows[k].Cells, markOf(l.value(i, m.Quantity, m.Value)))
		}
	}
	return t
}
