package form

import (
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

// Advice is how many to make, as pages say it. The amounts that are differences of
// batches stand in the answer about a curve, all others are figures.
type Advice struct {
	Rises      bool
	Make, Next chart.Mark
	Nth        string
	Costs      chart.Mark // of one piece more
	Each       frame.Fig  // of the pieces before it
	Because    string
	Drawn      string // where what it needs is drawn and worked out
	Earns      bool   // the piece more brings more than it costs, wherever it is sold
	Unless     string // only there
	Brings     []Bringing
	Good       chart.Mark
	GoodEach   frame.Fig
	Steps      []AdvisedStep
	Href       string // of the curve
	Unit       string
	line       estimate.MixLine
	day        bom.Date
	at         string
	of         *study.BatchAdvice
}

// Bringing is what a piece brings in a channel.
type Bringing struct {
	Where    string
	Proceeds frame.Fig
}

// AdvisedStep is one of the steps that matter.
type AdvisedStep struct {
	UpTo, From, Costs chart.Mark
	Each              frame.Fig
	Because, Drawn    string
	Asked             bool // it is that of the advice
}

// AdviceOf lays out the advice at a place of the answer about a curve of a line; nil for
// none.
func AdviceOf(b *book.Book, of *study.BatchAdvice, at string, l estimate.MixLine, day bom.Date) *Advice {
	if of == nil {
		return nil
	}
	a := &Advice{Rises: of.Rises, Nth: study.Ordinal(of.Step.From), Because: of.Step.Because, Earns: of.Earns(), Unit: of.Unit, line: l, day: day, at: at, of: of}
	a.Make, a.Next = a.pieces("/make", of.Make), a.pieces("/step/from", of.Step.From)
	a.Costs, a.Each = a.money("/step/costs", of.Step.Costs), a.each(of.Step.UpTo, of.Step.Each)
	if of.Good != nil {
		a.Good, a.GoodEach = a.pieces("/good/quantity", of.Good.Quantity), a.each(of.Good.Quantity, of.Good.Value)
	}
	a.Drawn = a.drawn(of.Step)
	asked := a.link(of.Asked)
	for _, br := range of.Brings {
		one := Bringing{Proceeds: asked.Money(br.Proceeds)}
		if c, _ := b.Channel(br.Channel); c != nil {
			one.Where = c.Name
		}
		if br.Earns && !a.Earns {
			a.Unless = strings.TrimPrefix(a.Unless+" and "+one.Where, " and ")
		}
		a.Brings = append(a.Brings, one)
	}
	for i, m := range of.Matter {
		here := "/matter/" + strconv.Itoa(i)
		a.Steps = append(a.Steps, AdvisedStep{UpTo: a.pieces(here+"/up_to", m.UpTo), From: a.pieces(here+"/from", m.From), Costs: a.money(here+"/costs", m.Costs),
			Each: a.each(m.UpTo, m.Each), Because: m.Because, Drawn: a.drawn(m), Asked: of.Rises && m.UpTo == of.Step.UpTo})
	}
	a.Href = LineHref("/curve", frame.View{Lines: []estimate.MixLine{l}, Day: day}, "", l)
	return a
}

func (a *Advice) pieces(at string, n study.Pieces) chart.Mark {
	text := strconv.FormatInt(int64(n), 10)
	return chart.Mark{Label: "quantity", Text: text, Stat: a.at + at, Value: text}
}

func (a *Advice) money(at, value string) chart.Mark {
	m := chart.Mark{Label: "one piece more", Stat: a.at + at, Value: value, Text: value}
	if d, err := decimal.NewFromString(value); err == nil {
		m.Text = show.Money(d, a.of.Unit)
	}
	return m
}

// drawn is where what a piece more needs is drawn, with its arithmetic: a bar or sheet on
// the page of its part, anything else in its proof.
func (a *Advice) drawn(m study.AddedPiece) string {
	if m.BecauseKey == "" {
		return ""
	}
	link := a.link(m.From)
	of := strings.Split(m.BecauseKey, "/")
	if last := of[len(of)-1]; of[0] == "part" && (last == "stock-needed" || last == "stock-alone") {
		return "/parts/" + of[1] + link.Query + "&open=stock#stock-title"
	}
	return link.Href(m.BecauseKey)
}

// each is the full cost of each in a batch of so many.
func (a *Advice) each(n study.Pieces, value string) frame.Fig {
	return a.link(n).Money(answer.Figure{Key: "variant/" + a.line.Name() + "/each/full", Label: "full cost", Value: value, Unit: a.of.Unit + "/piece"})
}

func (a *Advice) link(n study.Pieces) frame.Linker {
	l := a.line
	l.Quantity = bom.Whole(int64(n))
	return frame.Prover(frame.View{Lines: []estimate.MixLine{l}, Day: a.day})
}
