package study

import (
	"cmp"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/study"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/costing/papers/show"
	"kerfbook/web/chart"
	"kerfbook/web/frame"
)

// compareView is the answer as the page shows it.
type compareView struct {
	Alone      string // what both batches have in common, in words
	What       string // which figure: a cost, or the price asked
	From, To   shownSide
	Unit       string
	Difference chart.Mark
	Word       string // more or less
	Same       bool
	Alike      bool
	Bridge     *chart.Bridge
	Places     *chart.Table // by place of the product
	Things     *chart.Table
	Lines      []lineRow
	Stays      chart.Mark // how many lines do not change
	Shares     []shareRow
	Rest       []shareRow // the smaller ones
	Ends       bool       // some share is of an input, which has a value on each side
	Method     string
	Inputs     chart.Mark
}

// fewShares is how many of what accounts for a difference stand open.
const fewShares = 8

// shownSide is one side with the figure on it.
type shownSide struct {
	Words  string
	Figure frame.Fig
	Plain  chart.Mark // where the figure has no proof to lead to
}

// lineRow is a line of cost that appears, vanishes or changes.
type lineRow struct {
	Thing, Name, Href string
	Change            string
	Before, After     chart.Mark
	Amount            chart.Mark
}

// shareRow is what one input, decision or line accounts for.
type shareRow struct {
	Name, Href, What string
	Before, After    shareEnd
	Amount, Percent  chart.Mark
	Together         []string
}

// shareEnd is an input on one side.
type shareEnd struct {
	Figure frame.Fig
	Plain  chart.Mark
	Chosen string
	Unit   string
}

// compareLayout lays out one answer.
type compareLayout struct {
	c      *frame.Call
	d      study.Difference
	manner manner
	links  [2]frame.Linker // to the proofs of the sides; empty where there are none
	// samePieces tells that both sides are batches of as many pieces.
	samePieces bool
}

func showDifference(c *frame.Call, d study.Difference, before, after *compareSide) (*compareView, error) {
	l := &compareLayout{c: c, d: d, manner: mannerOf(d.Before.Figure), links: [2]frame.Linker{proofsOf(c, before, d.Before), proofsOf(c, after, d.After)}}
	if before.line != nil && after.line != nil {
		l.samePieces = before.line.Quantity.Likely.Equal(after.line.Quantity.Likely)
	}
	out := &compareView{What: figureWords(c.Typed("figure", compareFigures[0].Value)), Unit: l.manner.words(), Same: d.Same, Alike: d.Alike}
	if l.samePieces && d.Before.Day == d.After.Day {
		out.Alone = "Each in a batch of its own of " + before.line.Quantity.Likely.String() + " pieces"
	}
	out.From, out.To = l.side(0, "/before/figure/value", d.Before, before), l.side(1, "/after/figure/value", d.After, after)
	out.Difference = l.amount("/difference", d.Difference, d.Rounded.Difference)
	out.Word = "more"
	if strings.HasPrefix(d.Difference, "-") {
		out.Word = "less"
	}
	out.Lines, out.Stays = l.lines()
	out.Places = l.places(out)
	out.Things = l.steps("things", "By part, the largest first", "Part", l.d.Things)
	out.Shares = l.shares()
	for _, row := range out.Shares {
		out.Ends = out.Ends || row.Before != shareEnd{} || row.After != shareEnd{}
	}
	if len(out.Shares) > fewShares {
		out.Shares, out.Rest = out.Shares[:fewShares], out.Shares[fewShares:]
	}
	out.Method, out.Inputs = methodWords(d.Method), chart.Mark{Text: strconv.FormatInt(int64(d.Method.Inputs), 10), Stat: "/method/inputs", Value: strconv.FormatInt(int64(d.Method.Inputs), 10)}
	bridge, err := l.bridge(out)
	out.Bridge = bridge
	return out, err
}

// proofsOf links to the proofs of a side. What a quote asks for today is the batch
// that it was worked out for.
func proofsOf(c *frame.Call, s *compareSide, shown study.SideAnswer) frame.Linker {
	switch {
	case s.line != nil:
		return frame.Prover(frame.View{Lines: []estimate.MixLine{*s.line}, Day: s.of.Day})
	case !shown.Today:
		return frame.QuoteLinker(shown.Quote, shown.Revision)
	}
	var lines []estimate.MixLine
	for _, m := range shown.Mix {
		line, ok := lineNamed(c.Book, m.Trim)
		n, isNumber := m.Quantity.Number()
		if !ok || !isNumber {
			return frame.Linker{}
		}
		line.Quantity = bom.Exactly(n)
		lines = append(lines, line)
	}
	return frame.Prover(frame.View{Lines: lines, Day: shown.Day})
}

// lineNamed finds the variant that a name such as glow.mount-wall stands for.
func lineNamed(b *book.Book, name string) (estimate.MixLine, bool) {
	for _, p := range b.Products {
		for _, t := range p.Trims {
			rest, ok := strings.CutPrefix(name, string(t.ID))
			if !ok || rest != "" && !strings.HasPrefix(rest, ".") {
				continue
			}
			l := estimate.MixLine{Product: p.Number, Trim: t.ID, Choices: map[bom.ID]bom.ID{}}
			for _, o := range p.Options {
				for _, ch := range o.Choices {
					if strings.Contains(rest+".", "."+string(o.ID)+"-"+string(ch.ID)+".") {
						l.Choices[o.ID] = ch.ID
					}
				}
			}
			if l.Name() == name {
				return l, true
			}
		}
	}
	return estimate.MixLine{}, false
}

func (l *compareLayout) side(i int, at string, shown study.SideAnswer, asked *compareSide) shownSide {
	out := shownSide{Words: shown.Words, Figure: l.manner.write(l.links[i], shown.Figure)}
	if asked.line != nil {
		out.Words = l.words(*asked.line, shown.Day)
	}
	if !l.proven(i, shown.Figure.Key) {
		out.Plain = tally{l.manner, at}.number(shown.Figure.Label, shown.Figure.Value)
	}
	return out
}

// words names a batch by what the other side does not have in common with it.
func (l *compareLayout) words(line estimate.MixLine, day bom.Date) string {
	out := frame.LineWords(l.c.Book, line)
	if !l.samePieces {
		out += ", " + line.Quantity.Likely.String() + " pieces"
	}
	if l.d.Before.Day != l.d.After.Day {
		out += ", rates of " + string(day)
	}
	return out
}

// proven tells whether a figure of a side has a proof to lead to: what a quote
// would come to today is no figure of a batch.
func (l *compareLayout) proven(i int, key string) bool {
	today := [2]bool{l.d.Before.Today, l.d.After.Today}[i]
	return l.links[i].Base != "" && !(today && !strings.Contains(key, "/each/") && strings.HasPrefix(key, "quote/"))
}

// mark is the figure of a side for a chart.
func (s shownSide) mark(label string) chart.Mark {
	if s.Plain.Text != "" {
		return called(label, s.Plain)
	}
	return called(label, markOf(s.Figure))
}

// amount makes a mark of what something adds: the exact value, shown to the coin
// and with its sign.
func (l *compareLayout) amount(at, exact, rounded string) chart.Mark {
	text := cmp.Or(rounded, exact)
	d, err := decimal.NewFromString(text)
	if err != nil {
		return chart.Mark{}
	}
	m := chart.Mark{Stat: at, Value: exact, Text: frame.Minus(l.manner.text(d))}
	if d.IsPositive() {
		m.Text = "+" + m.Text
	}
	return m
}

// bridge leads from one figure to the other by kinds of cost.
func (l *compareLayout) bridge(out *compareView) (*chart.Bridge, error) {
	if l.d.Same {
		return nil, nil
	}
	d := chart.BridgeData{ID: "bridge", Title: "From " + out.From.Words + " to " + out.To.Words, Unit: l.manner.words(),
		Desc: "Each bar begins where the one before ended.", Start: out.From.mark(out.From.Words), End: out.To.mark(out.To.Words),
		Difference: called("difference", out.Difference)}
	for i, k := range l.d.Kinds {
		m := l.amount("/kinds/"+strconv.Itoa(i)+"/amount", k.Amount, k.Rounded.Amount)
		d.Changes = append(d.Changes, called(strings.TrimSuffix(k.Name.Label, " per piece"), m))
	}
	b, err := chart.NewBridge(d)
	return &b, err
}

// steps is a table of steps that add up to the difference.
func (l *compareLayout) steps(id, caption, head string, of []study.CostStep) *chart.Table {
	t := &chart.Table{ID: id, Caption: l.manner.behind(caption), Heads: []chart.Head{{Name: head}, {Name: "Difference", Num: true}}}
	for i, k := range of {
		name := k.Name.Label
		if k.Change == study.LineAppears || k.Change == study.LineVanishes {
			name += ", " + k.Change
		}
		t.Rows = append(t.Rows, chart.Row{Name: name, Cells: []chart.Mark{l.amount("/"+id+"/"+strconv.Itoa(i)+"/amount", k.Amount, k.Rounded.Amount)}})
	}
	t.Rows = append(t.Rows, chart.Row{Name: "difference", Total: true, Cells: []chart.Mark{l.amount("/difference", l.d.Difference, l.d.Rounded.Difference)}})
	return t
}

// places is a table of both sides by place, with the differences drawn.
func (l *compareLayout) places(out *compareView) *chart.Table {
	t := &chart.Table{ID: "places", Caption: l.manner.behind("By place, the largest difference first"),
		Heads: []chart.Head{{Name: "Place"}, {Name: out.From.Words, Num: true}, {Name: out.To.Words, Num: true}, {Name: "Difference", Num: true}}}
	for i, p := range l.d.Places {
		at, name := "/places/"+strconv.Itoa(i), p.Name.Label
		if p.Change == study.LineStays {
			name = strconv.Itoa(int(p.Count)) + " " + name
		}
		t.Rows = append(t.Rows, chart.Row{Name: name, Cells: []chart.Mark{l.onOneSide(at+"/before", p.Before, p.RoundedBefore), l.onOneSide(at+"/after", p.After, p.RoundedAfter), l.amount(at+"/amount", p.Amount, p.Rounded.Amount)}})
	}
	t.Rows = append(t.Rows, chart.Row{Name: out.What, Total: true, Cells: []chart.Mark{out.From.mark(""), out.To.mark(""), out.Difference}})
	t.Draw()
	return t
}

// onOneSide makes a mark of what stands at a place of one side; of nothing it is empty.
func (l *compareLayout) onOneSide(at, exact, rounded string) chart.Mark {
	m := l.amount(at, exact, rounded)
	m.Text = strings.TrimPrefix(m.Text, "+")
	return m
}

// lines lists the lines that appear, vanish or change.
func (l *compareLayout) lines() (out []lineRow, stays chart.Mark) {
	same := 0
	for i, one := range l.d.Lines {
		if one.Change == study.LineStays {
			same++
			continue
		}
		at := "/lines/" + strconv.Itoa(i)
		row := lineRow{Thing: one.Thing.Label, Name: nameWords(one.Name), Change: one.Change, Amount: l.amount(at+"/amount", one.Amount, one.Rounded.Amount),
			Before: tally{l.manner, at + "/before"}.number("before", one.Before), After: tally{l.manner, at + "/after"}.number("after", one.After)}
		side := 1
		if one.Change == study.LineVanishes {
			side = 0
		}
		if l.proven(side, one.Name.Key) {
			row.Href = l.links[side].Href(one.Name.Key)
		}
		out = append(out, row)
	}
	return out, chart.Mark{Text: strconv.Itoa(same), Stat: "lines that stay", Value: strconv.Itoa(same)}
}

// shares lists what each input, decision or line accounts for.
func (l *compareLayout) shares() []shareRow {
	var out []shareRow
	for i, s := range l.d.Shares {
		at := "/shares/" + strconv.Itoa(i)
		row := shareRow{What: s.Kind, Amount: l.amount(at+"/amount", s.Amount, s.Rounded.Amount)}
		if s.Rounded.Percent != "" {
			row.Percent = chart.Mark{Text: percentShown(s.Rounded.Percent), Stat: at + "/rounded/percent", Value: s.Rounded.Percent}
		}
		l.nameShare(&row, at, s)
		out = append(out, row)
	}
	return out
}

// percentShown writes a number of per cent that is rounded to a tenth.
func percentShown(text string) string {
	d, err := decimal.NewFromString(text)
	if err != nil {
		return text
	}
	return frame.Minus(show.Places(d, 1)) + " %"
}

// nameShare says what a share is of.
func (l *compareLayout) nameShare(row *shareRow, at string, s study.InputShare) {
	switch {
	case s.Line != nil:
		row.Name, row.What = nameWords(*s.Line), "line of cost of one side"
		for side := range l.links {
			if key := s.Line.Key; l.onSide(side, key) {
				row.Href = l.links[side].Href(key)
			}
		}
	case s.Kind == study.ShareOfAll:
		row.Name, row.What = "all changed inputs together", "inputs"
		for _, p := range s.Inputs {
			row.Together = append(row.Together, inWords(p.After))
		}
	default:
		row.Name = onBothSides(s)
		row.Before, row.After = l.end(0, at+"/before/value", s.Before, s.BeforeChosen), l.end(1, at+"/after/value", s.After, s.AfterChosen)
	}
}

// onBothSides names an input, by both names where each side calls it otherwise.
func onBothSides(s study.InputShare) string {
	before, after := inWords(s.Before), inWords(s.After)
	if before == after {
		return after
	}
	return before + "; after: " + after
}

// onSide tells on which side a line without a partner is.
func (l *compareLayout) onSide(side int, key string) bool {
	for _, one := range l.d.Lines {
		if one.Name.Key == key {
			return l.proven(side, key) && (one.Change == study.LineVanishes) == (side == 0)
		}
	}
	return false
}

func (l *compareLayout) end(side int, at string, f answer.Figure, chosen string) shareEnd {
	out := shareEnd{Chosen: chosen, Unit: f.Unit}
	if l.proven(side, f.Key) {
		out.Figure = l.links[side].Plain(f)
		if chosen != "" {
			out.Figure.Text = chosen
		}
		return out
	}
	out.Plain = tally{manner{unit: f.Unit, places: -1}, at}.number(f.Label, f.Value)
	if chosen != "" {
		out.Plain.Text = chosen
	}
	return out
}

// methodWords says how the difference was shared out over the inputs.
func methodWords(m study.SharingMethod) string {
	switch m.Rule {
	case "no inputs":
		return "No input that both sides have differs: the difference lies in what they are made of."
	case "Shapley":
		return "Each input is changed alone and after every choice of the others; its share is the average of what it then adds, over all orders (Shapley value). So no order is favoured, and the shares add up to the difference."
	case "Aumann-Shapley":
		return "There are too many changed inputs to try all orders. All are moved together along the straight way from one side to the other, and each is given what it adds along it (Aumann–Shapley). The shares add up to the difference."
	case "together":
		return "The changed inputs cannot be told apart, so they are given one share together: " + m.Reason + "."
	}
	return m.Rule
}
