package study

import (
	"strconv"

	"kerfbook/api/answer/study"
	"kerfbook/bom"
	"kerfbook/costing/estimate"
	"kerfbook/costing/papers/show"
	"kerfbook/web/chart"
	"kerfbook/web/frame"
)

// curves draws how the figure is spread.
func (l *spreadLayout) curves(out *spreadView) {
	f, unit := l.figure(), l.place(l.of).manner.words()
	if !f.Varies {
		return
	}
	bins := make([]chart.Bin, len(f.Histogram.Counts))
	for i, n := range f.Histogram.Counts {
		bins[i] = chart.Bin{From: floatAt(f.Histogram.Edges[i]), To: floatAt(f.Histogram.Edges[i+1]), Count: n}
	}
	title := inWords(f.Figure)
	marks := l.marks()
	h := chart.NewHistogram(chart.HistogramData{ID: "histogram", Title: "How the draws are spread: " + title,
		Desc: "Columns show what share of the draws falls where.", Unit: unit, Bins: bins, Marks: marks})
	out.Histogram = &h
	points := make([]chart.Point, len(f.Curve))
	for i, p := range f.Curve {
		points[i] = chart.Point{X: floatAt(p.Value), Y: floatAt(p.Share)}
	}
	k := chart.NewCumulative(chart.CumulativeData{ID: "cumulative", Title: "Chance of no more than: " + title,
		Desc: "The curve rises with the share of the draws that do not exceed a value.", Unit: unit, Points: points, Marks: marks})
	k.Marks = l.quantiles() // the histogram has the marks
	out.Curve = &k
}

// floatAt reads a number that is only drawn.
func floatAt(text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return 0
	}
	return v
}

// movers draws both rankings of the inputs.
func (l *spreadLayout) movers(out *spreadView) {
	m := l.answer.Movers
	at := tally{mannerOf(m.Figure), "/movers"}
	d := chart.TornadoData{ID: "tornado", Title: "What moves it: " + inWords(m.Figure), Unit: at.manner.words(),
		Desc:   "Each bar shows the figure with one input so low that one draw in ten is lower, and so high that one in ten is higher, the others at their likely values.",
		Likely: called("likely", markOf(at.manner.write(l.link, m.Figure)))}
	for i, s := range m.Tornado {
		out.Grouped = out.Grouped || s.Correlated
		d.Swings = append(d.Swings, l.swing(at.in("tornado/%d", i), s))
	}
	t := chart.NewTornado(d)
	out.Tornado = &t
	out.Sampled = m.ShareDraws > 0
	out.ShareDraws = l.top().in("movers/share_draws").count(m.ShareDraws)
	l.shares(out)
}

func (l *spreadLayout) swing(at tally, s study.Swing) chart.Swing {
	input := tally{mannerOf(s.Input), at.at}
	end := func(input chart.Mark, figure chart.Mark, unit string) chart.End {
		if figure.Value == "" {
			figure = chart.Mark{Text: "undefined"}
		}
		input.Text = show.WithUnit(input.Text, unit)
		return chart.End{Input: input, Figure: figure}
	}
	return chart.Swing{Name: inWords(s.Input), Href: l.link.Href(s.Input.Key),
		Low:  end(input.in("p10").number("low", s.P10), at.in("figure_at_p10").number("", s.FigureAtP10), s.Input.Unit),
		High: end(input.in("p90").number("high", s.P90), at.in("figure_at_p90").number("", s.FigureAtP90), s.Input.Unit)}
}

func (l *spreadLayout) shares(out *spreadView) {
	d := chart.SharesData{ID: "shares", Title: "Shares of the variance: " + inWords(l.answer.Movers.Figure),
		Desc: "Two bars for each input, with one standard error to either side."}
	for i, s := range l.answer.Movers.Shares {
		at := tally{manner{percent: true}, ""}.in("movers/shares/%d", i)
		in := chart.InputShare{Name: s.Name(inWords)}
		if !s.Others {
			in.Href = l.link.Href(s.Inputs[0].Key)
		}
		in.First.Mark, in.First.Error = at.in("first_order").statistic("alone", s.First)
		in.Total.Mark, in.Total.Error = at.in("total").statistic("in all", s.Total)
		out.NearZero = out.NearZero || s.NearZero
		d.Inputs = append(d.Inputs, in)
	}
	c := chart.NewShares(d)
	out.Shares = &c
}

// channelChance says of a channel how sure the margin wanted is.
type channelChance struct {
	Title         string
	Why           string
	Wanted, Asked frame.Fig
	Word          string // margin or markup
	Chance, Error chart.Mark
	Unit          string
	Prices        *chart.Table
}

func (l *spreadLayout) channels() []channelChance {
	var out []channelChance
	for i, c := range l.answer.Channels {
		at := tally{mannerOfUnit(c.Unit), ""}.in("channels/%d", i)
		row := channelChance{Title: l.trimName(c.Trim) + l.channelWords(c.Channel), Why: c.Why, Unit: at.manner.words(),
			Wanted: l.link.Percent(c.Wanted), Asked: at.manner.write(l.link, c.Asked), Word: c.Wanted.Label}
		if c.Why == "" {
			l.chances(&row, at, c)
		}
		out = append(out, row)
	}
	return out
}

// channelWords name a channel after what is sold in it; a part alone is sold in none.
func (l *spreadLayout) channelWords(id bom.ID) string {
	if id == "" || id == estimate.NoChannel {
		return ""
	}
	return " in the channel " + frame.ChannelName(l.c.Book, string(id))
}

// trimName gives the name of a trim of the mix.
func (l *spreadLayout) trimName(trim string) string {
	if f := l.sheet.Figure("variant/" + trim + "/each/full"); f.Of != "" {
		return f.Of
	}
	return trim
}

// chances lists prices with their chances: the price asked, prices and chances
// asked about, and the usual chances.
func (l *spreadLayout) chances(row *channelChance, at tally, c study.ChannelChance) {
	share := func(t tally) tally { return tally{manner{percent: true}, t.at} }
	t := &chart.Table{ID: "prices-" + frame.FieldID(c.Trim+"-"+string(c.Channel)), Caption: row.Title + ": chance that the " + row.Word + " is met, and prices in " + at.manner.words(), Heads: []chart.Head{
		{Name: "Asked"}, {Name: "Chance", Num: true}, {Name: "Standard error", Num: true}, {Name: "Price", Num: true}, {Name: "Standard error", Num: true}, {Name: "At the price point", Num: true}}}
	if c.Chance != nil {
		row.Chance, row.Error = share(at.in("chance")).statistic("chance", *c.Chance)
		t.Rows = append(t.Rows, chart.Row{Name: "price asked", Total: true, Cells: []chart.Mark{row.Chance, row.Error, markOf(row.Asked), {}, {}}})
	}
	for i, a := range c.At {
		here := at.in("chance_at/%d", i)
		v, e := share(here.in("chance")).statistic("", a.Chance)
		t.Rows = append(t.Rows, chart.Row{Name: "price in question", Cells: []chart.Mark{v, e, here.in("price").number("", a.Price), {}, {}}})
	}
	for i, p := range c.Prices {
		here := at.in("price_at_chance/%d", i)
		v, e := here.in("price").statistic("", p.Price)
		t.Rows = append(t.Rows, chart.Row{Name: "for a chance", Cells: []chart.Mark{share(here.in("chance")).number("", p.Chance), {}, v, e, here.in("price_point").number("", p.Point)}})
	}
	row.Prices = t
}
