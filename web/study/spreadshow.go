package study

import (
	"slices"
	"strconv"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/api/answer/study"
	"kerfbook/web/chart"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// spreadView is the answer as the page shows it.
type spreadView struct {
	Any        bool // whether any input varies
	Name       string
	Likely     frame.Fig
	Unit       string
	P80, Error chart.Mark
	Draws      chart.Mark
	Seed       chart.Mark
	Reached    bool
	Missed     bool // the precision asked for
	NoValue    *chart.Mark
	Histogram  *chart.Histogram
	Curve      *chart.Cumulative
	Others     chart.Table
	Channels   []channelChance
	Tornado    *chart.Tornado
	Shares     *chart.Shares
	ShareDraws chart.Mark
	Sampled    bool // the shares are estimates
	Grouped    bool // some inputs move together
	NearZero   bool // some share may as well be nothing
	Inputs     []inputRow
	Held       []heldRow
	Free       []heldRow
	Hindsight  bool
	Findings   []frame.FindingLine
}

// inputRow is an input that is a range.
type inputRow struct {
	Name      string
	Likely    frame.Fig
	Low, High string
	Shape     string
	Deviation string
	Unit      string
	Together  bool
	Record    string // words for the record it is in
	Edit      string // address; empty where it is no record
}

// heldRow is a decision with what was chosen.
type heldRow struct {
	Name   string
	Choice string
	Figure frame.Fig
}

// spreadLayout lays out one answer.
type spreadLayout struct {
	c      *frame.Call
	answer study.Spread
	sheet  *answer.Sheet
	link   frame.Linker
	of     int // the figure looked at
}

func showSpread(c *frame.Call, result study.Spread, ask *spreadAsk) (*spreadView, error) {
	sheet, _, err := c.Site.Service.Sheet(c.R.Context(), ask.Req.Mix, ask.Req.Day)
	if err != nil {
		return nil, err
	}
	l := &spreadLayout{c: c, answer: result, sheet: sheet, link: frame.Prover(frame.View{Lines: ask.Req.Mix, Day: ask.Req.Day})}
	l.of = slices.IndexFunc(result.Figures, func(f study.SpreadFigure) bool { return f.Figure.Key == result.Movers.Figure.Key })
	out := &spreadView{Any: len(result.Inputs) > 0, Hindsight: result.Hindsight}
	out.Inputs, out.Held, out.Free = l.inputs(), l.held(result.Held), l.held(result.Free)
	out.Findings = frame.FindingLines(c.Book, result.Findings, sheet, l.link)
	if !out.Any || l.of < 0 {
		return out, nil
	}
	l.headline(out)
	out.Missed = result.PrecisionReached != nil && !*result.PrecisionReached
	out.Reached = result.PrecisionReached != nil && *result.PrecisionReached
	out.Others = l.others()
	out.Channels = l.channels()
	l.curves(out)
	l.movers(out)
	return out, nil
}

func (l *spreadLayout) figure() study.SpreadFigure { return l.answer.Figures[l.of] }

// place gives the place of a number of the i-th figure in the answer.
func (l *spreadLayout) place(i int) tally {
	return tally{mannerOf(l.answer.Figures[i].Figure), ""}.in("figures/%d", i)
}

// top gives the place of the answer itself, for counts.
func (l *spreadLayout) top() tally { return tally{manner{places: 0}, ""} }

const headlineShare = "0.8"

func (l *spreadLayout) headline(out *spreadView) {
	f, at := l.figure(), l.place(l.of)
	out.Name = f.Figure.Label
	out.Likely = at.manner.write(l.link, f.Figure)
	if !at.manner.percent {
		out.Unit = at.manner.words()
	}
	for i, q := range f.Quantiles {
		if q.Share == headlineShare {
			out.P80, out.Error = at.in("quantiles/%d", i).statistic("80 % below", q.Statistic)
		}
	}
	out.Draws = l.top().in("draws").count(l.answer.Draws)
	out.Seed = chart.Mark{Text: strconv.FormatUint(l.answer.Seed, 10), Stat: "/seed", Value: strconv.FormatUint(l.answer.Seed, 10)}
	if f.Undefined > 0 {
		m := at.in("draws_without_value").count(f.Undefined)
		out.NoValue = &m
	}
}

// marks are the quantiles and the likely value, and for a price wanted the price
// asked in its channel.
func (l *spreadLayout) marks() []chart.Spot {
	f, at := l.figure(), l.place(l.of)
	var out []chart.Spot
	for i, q := range f.Quantiles {
		if q.Share == "0.05" || q.Share == "0.95" {
			continue // too near their neighbours to be told apart
		}
		v, e := at.in("quantiles/%d", i).statistic(percentText(q.Share)+" % below", q.Statistic)
		out = append(out, chart.Spot{Mark: v, Error: e, Class: "quantile"})
	}
	out = append(out, chart.Spot{Mark: called("likely", markOf(at.manner.write(l.link, f.Figure))), Class: "likely"})
	for i, c := range l.answer.Channels {
		if c.Chance == nil || !isPriceWanted(f.Figure.Key, c) {
			continue
		}
		chance, _ := tally{manner{percent: true}, ""}.in("channels/%d/chance", i).statistic("chance at this price", *c.Chance)
		out = append(out, chart.Spot{Mark: called("price asked", markOf(at.manner.write(l.link, c.Asked))), Class: "target", Second: chance})
	}
	return out
}

// isPriceWanted tells whether a figure is the price, in money, that is drawn for
// a channel.
func isPriceWanted(key string, c study.ChannelChance) bool {
	return strings.HasPrefix(key, "variant/"+c.Trim+"/price/"+string(c.Channel)+"/") && !strings.HasSuffix(key, "/margin") && !strings.HasSuffix(key, "/markup")
}

// quantiles lists what the draws of the figure came to.
func (l *spreadLayout) quantiles() chart.Table {
	f, at := l.figure(), l.place(l.of)
	t := chart.Table{ID: "quantiles", Caption: "What the draws come to: " + inWords(f.Figure) + ". “80 % below” is what 80 % of the draws do not exceed",
		Heads: []chart.Head{{Name: "Estimate"}, {Name: at.manner.behind("Value"), Num: true}, {Name: "Standard error", Num: true}}}
	row := func(name string, place tally, s study.Statistic) {
		v, e := place.statistic(name, s)
		t.Rows = append(t.Rows, chart.Row{Name: name, Cells: []chart.Mark{v, e}})
	}
	for i, q := range f.Quantiles {
		row(percentText(q.Share)+" % below", at.in("quantiles/%d", i), q.Statistic)
	}
	row("mean", at.in("mean"), f.Mean)
	row("standard deviation", at.in("standard_deviation"), f.Deviation)
	t.Rows = append(t.Rows, chart.Row{Name: "lowest drawn", Cells: []chart.Mark{at.in("lowest").number("lowest", f.Lowest), {}}},
		chart.Row{Name: "highest drawn", Cells: []chart.Mark{at.in("highest").number("highest", f.Highest), {}}})
	return t
}

// others lists all figures that were drawn.
func (l *spreadLayout) others() chart.Table {
	t := chart.Table{ID: "others", Caption: "All figures drawn, each estimate with its standard error",
		Heads: []chart.Head{{Name: "Figure"}, {Name: "Likely", Num: true}, {Name: "10 % below", Num: true}, {Name: "±", Num: true}, {Name: "half below", Num: true}, {Name: "±", Num: true}, {Name: "90 % below", Num: true}, {Name: "±", Num: true}}}
	for i, f := range l.answer.Figures {
		at := l.place(i)
		row := chart.Row{Name: at.manner.behind(inWords(f.Figure)), Cells: []chart.Mark{markOf(at.manner.write(l.link, f.Figure))}}
		for k, q := range f.Quantiles {
			if q.Share == "0.1" || q.Share == "0.5" || q.Share == "0.9" {
				v, e := at.in("quantiles/%d", k).statistic("", q.Statistic)
				row.Cells = append(row.Cells, v, e)
			}
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// inputs lists the inputs that vary.
func (l *spreadLayout) inputs() []inputRow {
	var out []inputRow
	for _, in := range l.answer.Inputs {
		row := inputRow{Name: inWords(in.Input), Likely: l.link.Plain(in.Input), Low: in.Low, High: in.High, Shape: spreadWords[in.Shape],
			Deviation: in.Deviation, Unit: in.Input.Unit, Together: in.Group}
		if path, ok := l.sheet.IsInput(in.Input.Key); ok {
			row.Record, row.Edit = form.RecordAt(l.c.Book, path)
		}
		out = append(out, row)
	}
	return out
}

// spreadWords say how the values of a range are spread.
var spreadWords = map[string]string{"triangular": "most at the likely value, straight to both ends", "pert": "most at the likely value, rounded to both ends",
	"uniform": "every value as good as another", "normal": "a bell, cut off at both ends"}

func (l *spreadLayout) held(of []study.HeldChoice) []heldRow {
	var out []heldRow
	for _, h := range of {
		row := heldRow{Name: inWords(h.Figure), Choice: h.Choice, Figure: mannerOf(h.Figure).write(l.link, h.Figure)}
		if h.Choice != "" {
			row.Figure.Text = h.Choice
		}
		out = append(out, row)
	}
	return out
}
