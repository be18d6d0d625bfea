package study

import (
	"maps"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/study"
	"kerfbook/bom"
	"kerfbook/costing/estimate"
	"kerfbook/web/chart"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// curveView is the answer as the page shows it.
type curveView struct {
	Unit   string
	Chart  chart.StepCurve
	Least  []leastLine
	Advice []advised
	Duel   *duelView
	Curves []curveTables
	Pieces chart.Mark // of the batch that is to pay back
	Money  string
	// Outside tells that the batch that is to pay back lies outside the range drawn.
	Outside  bool
	From, To chart.Mark
}

// advised is the advice for one of the curves.
type advised struct {
	Name string
	*form.Advice
}

// leastLine says where one curve is least.
type leastLine struct {
	Name         string
	Figure       string
	Flat         bool
	Quantity     chart.Mark
	Value        frame.Fig
	Below, Above frame.Fig  // with one piece fewer or more
	Ends         bool       // at the end of the range
	Settles      chart.Mark // from where on a doubling saves little
	There        frame.Fig
}

// duelView says which of two curves is lower where.
type duelView struct {
	Stretches []duelStretch
	Many      bool // too many for a sentence
	Crossings chart.Mark
}

// duelStretch is a stretch over which one curve is the lower one.
type duelStretch struct {
	Name        string
	Equal       bool
	First, Last bool
	From, To    chart.Mark
}

// mostStretches is how many stretches a sentence tells of.
const mostStretches = 4

// curveTables are the tables of one curve.
type curveTables struct {
	ID, Name string
	Breaks   []breakRow
	All      chart.Mark
	Answered chart.Mark // how many the answer lists
	Few      string     // how many are shown, if not all of those
	More     string     // address that shows all of them
	Counted  []countedRow
	PayBack  []payBackRow
	Findings []frame.FindingLine
}

// breakRow is one place where the figure steps.
type breakRow struct {
	UpTo, From    chart.Mark
	Before, After frame.Fig
	Effect        chart.Mark
	Causes        []causeLine
	Follows       []causeLine
}

// causeLine is one thing that steps, with the address of its proof after the step.
type causeLine struct{ Words, Href string }

// countedRow is what is counted piece by piece and changes equally often.
type countedRow struct {
	Changes chart.Mark
	Figures []causeLine
}

// payBackRow says what pays the batch back in one channel.
type payBackRow struct {
	Channel          string
	Asked            frame.Fig
	Free, Point      chart.Mark
	Sell             chart.Mark
	Pays, NeverSells bool
	Why              string
}

// curveLayout lays out one answer.
type curveLayout struct {
	c      *frame.Call
	answer study.BatchCurves
	lines  []estimate.MixLine
	day    bom.Date
}

func showCurves(c *frame.Call, answer study.BatchCurves, lines []estimate.MixLine) (*curveView, error) {
	l := &curveLayout{c, answer, lines, c.View.Day}
	out := &curveView{Unit: l.manner().words(), Money: answer.Currency, Pieces: l.pieces("/quantity", answer.Quantity),
		Outside: answer.Quantity < answer.From || answer.Quantity > answer.To, From: l.pieces("/from", answer.From), To: l.pieces("/to", answer.To)}
	for i, one := range answer.Curves {
		out.Least = append(out.Least, l.least(i, one))
		if a := form.AdviceOf(c.Book, one.Advice, curveAt(i)+"/advice", lines[i], l.day); a != nil {
			out.Advice = append(out.Advice, advised{l.name(i), a})
		}
		t, err := l.tables(i, one)
		if err != nil {
			return nil, err
		}
		out.Curves = append(out.Curves, t)
	}
	if answer.Crossing != nil {
		out.Duel = l.duel(answer.Crossing)
	}
	out.Chart = l.chart()
	return out, nil
}

func (l *curveLayout) manner() manner { return mannerOf(l.answer.Curves[0].Figure) }

// pieces makes a mark of a quantity at a place of the answer.
func (l *curveLayout) pieces(at string, n study.Pieces) chart.Mark {
	text := strconv.FormatInt(int64(n), 10)
	return chart.Mark{Label: "quantity", Text: grouped(text), Stat: at, Value: text}
}

// value shows the figure of a curve at a quantity, with the proof of that batch.
func (l *curveLayout) value(i int, n study.Pieces, value string) frame.Fig {
	f := l.answer.Curves[i].Figure
	f.Value = value
	return l.manner().write(l.link(i, n), f)
}

func (l *curveLayout) link(i int, n study.Pieces) frame.Linker {
	return frame.Prover(frame.View{Lines: []estimate.MixLine{atPieces(l.lines[i], n)}, Day: l.day})
}

// name tells the curves apart.
func (l *curveLayout) name(i int) string {
	return frame.LineWords(l.c.Book, l.lines[i])
}

func curveAt(i int) string { return "/curves/" + strconv.Itoa(i) }

func (l *curveLayout) least(i int, of study.BatchCurve) leastLine {
	at, m := curveAt(i)+"/least", of.Least
	out := leastLine{Name: l.name(i), Figure: of.Figure.Label, Flat: m.Flat, Quantity: l.pieces(at+"/quantity", m.Quantity), Value: l.value(i, m.Quantity, m.Value)}
	if m.Below != "" {
		out.Below = l.value(i, m.Quantity-1, m.Below)
	}
	if m.Above != "" {
		out.Above = l.value(i, m.Quantity+1, m.Above)
	}
	out.Ends = m.Quantity == l.answer.To && m.Below != ""
	if s := of.Settles; s != nil {
		out.Settles, out.There = l.pieces(curveAt(i)+"/settles/quantity", s.Quantity), l.value(i, s.Quantity, s.Value)
	}
	return out
}

func (l *curveLayout) duel(of *study.CurveDuel) *duelView {
	out := &duelView{Many: len(of.Stretches) > mostStretches,
		Crossings: chart.Mark{Text: strconv.Itoa(len(of.Crossings)), Stat: "/crossing/crossings", Value: strconv.Itoa(len(of.Crossings))}}
	for i, s := range of.Stretches {
		at := "/crossing/stretches/" + strconv.Itoa(i)
		one := duelStretch{Equal: s.Lower == study.LowerEqual, First: i == 0, Last: i == len(of.Stretches)-1, From: l.pieces(at+"/from", s.From), To: l.pieces(at+"/to", s.To), Name: l.name(0)}
		if s.Lower == study.LowerSecond {
			one.Name = l.name(1)
		}
		out.Stretches = append(out.Stretches, one)
	}
	return out
}

func (l *curveLayout) tables(i int, of study.BatchCurve) (curveTables, error) {
	at := curveAt(i)
	out := curveTables{ID: "curve-" + strconv.Itoa(i+1), Name: l.name(i), All: l.pieces(at+"/all_breaks", of.AllBreaks),
		Answered: chart.Mark{Text: strconv.Itoa(len(of.Breaks)), Stat: at + "/breaks", Value: strconv.Itoa(len(of.Breaks))}}
	shown := largestBreaks(of.Breaks, fewBreaks)
	if l.c.R.Form.Get("breaks") == "all" || len(shown) == len(of.Breaks) {
		shown = nil
	} else {
		out.Few, out.More = strconv.Itoa(fewBreaks), l.allBreaks(out.ID)
	}
	for k, b := range of.Breaks {
		if shown == nil || shown[k] {
			out.Breaks = append(out.Breaks, l.breakRow(i, at+"/breaks/"+strconv.Itoa(k), b))
		}
	}
	out.Counted = l.counted(i, at, of.Counted)
	for k, p := range of.PayBack {
		out.PayBack = append(out.PayBack, l.payBack(i, at+"/pay_back/"+strconv.Itoa(k), p))
	}
	sheet, _, err := l.c.Site.Service.Sheet(l.c.R.Context(), []estimate.MixLine{atPieces(l.lines[i], l.answer.Quantity)}, l.day)
	if err != nil {
		return out, err
	}
	out.Findings = frame.FindingLines(l.c.Book, of.Findings, sheet, l.link(i, l.answer.Quantity))
	return out, nil
}

// counted groups what is counted piece by piece by how often it changes, the most
// often first. The count stands at the first of a group in the answer.
func (l *curveLayout) counted(i int, at string, of []study.CurveCount) []countedRow {
	groups := map[study.Pieces]*countedRow{}
	for k, n := range of {
		row := groups[n.Changes]
		if row == nil {
			row = &countedRow{Changes: l.pieces(at+"/counted_steps/"+strconv.Itoa(k)+"/changes", n.Changes)}
			groups[n.Changes] = row
		}
		row.Figures = append(row.Figures, causeLine{nameWords(n.Figure), l.link(i, l.answer.Quantity).Href(n.Figure.Key)})
	}
	var out []countedRow
	for _, changes := range slices.Backward(slices.Sorted(maps.Keys(groups))) {
		out = append(out, *groups[changes])
	}
	return out
}

// fewBreaks is how many breaks are shown at first.
const fewBreaks = 12

// largestBreaks finds the breaks with the largest effect.
func largestBreaks(all []study.CurveBreak, most int) map[int]bool {
	order := make([]int, len(all))
	sizes := make([]decimal.Decimal, len(all))
	for i, b := range all {
		order[i] = i
		if d, err := decimal.NewFromString(strings.TrimPrefix(b.Effect, "-")); err == nil {
			sizes[i] = d
		}
	}
	slices.SortStableFunc(order, func(x, y int) int { return sizes[y].Cmp(sizes[x]) })
	out := map[int]bool{}
	for _, i := range order[:min(most, len(order))] {
		out[i] = true
	}
	return out
}

// allBreaks is the address of the page with all breaks of the answer, at their table:
// a browser that goes there opens what folds around it.
func (l *curveLayout) allBreaks(id string) string {
	q := maps.Clone(l.c.R.URL.Query())
	q.Set("breaks", "all")
	return "/curve?" + q.Encode() + "#" + id + "-breaks"
}

func (l *curveLayout) breakRow(i int, at string, b study.CurveBreak) breakRow {
	money := tally{mannerOfUnit(l.answer.Currency), at + "/effect"}
	after := l.link(i, b.From)
	row := breakRow{UpTo: l.pieces(at+"/up_to", b.UpTo), From: l.pieces(at+"/from", b.From),
		Before: l.value(i, b.UpTo, b.Before), After: l.value(i, b.From, b.After), Effect: money.number("effect", b.Effect)}
	for _, s := range b.Causes {
		row.Causes = append(row.Causes, causeLine{s.Words, after.Href(s.Figure.Key)})
	}
	for _, s := range b.Follows {
		row.Follows = append(row.Follows, causeLine{s.Words, after.Href(s.Figure.Key)})
	}
	return row
}

func (l *curveLayout) payBack(i int, at string, p study.PayBack) payBackRow {
	m := tally{mannerOfUnit(p.Unit), at}
	row := payBackRow{Channel: frame.ChannelName(l.c.Book, string(p.Channel)), Asked: m.manner.write(l.link(i, l.answer.Quantity), p.Asked), Why: p.Why, Pays: p.Pays,
		Free: m.in("pays_at").number("pays back at", p.Free), Point: m.in("pays_at_price_point").number("at the price point", p.Point)}
	row.NeverSells = p.Why == "" && p.Sell == ""
	if p.Sell != "" {
		row.Sell = chart.Mark{Text: grouped(p.Sell), Stat: at + "/pieces_to_sell", Value: p.Sell}
	}
	return row
}

// nameWords names a figure with its thing.
func nameWords(n study.FigureName) string { return inWords(answer.Figure{Of: n.Of, Label: n.Label}) }
