package cost

import (
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/study"
	"kerfbook/bom"
	"kerfbook/costing/estimate"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// aloneBlock is what a part costs by itself, without product or trim.
type aloneBlock struct {
	Fields    []frame.Field
	Wrong     bool // something typed is
	Pieces    string
	Full      frame.Fig
	Rests     frame.Fig // that a price rests on, of a part on a first guess
	Channels  []string  // with a price, as heads
	Rows      []aloneRow
	Fault     string // why it has no cost
	Advice    *form.Advice
	SureHref  string
	PriceHref string
}

// aloneRow is a batch of the part.
type aloneRow struct {
	Pieces      string
	Asked       bool
	Full, Batch frame.Fig
	Prices      []frame.Fig // by channel
}

// usualQuantities are those that a part is priced at beside the one asked for.
var usualQuantities = []int64{1, 10, 50, 100, 250}

// mostQuantities bounds a list of quantities.
const mostQuantities = 12

// askAlone reads how many of a part are asked for, at which margin, and in what other
// quantities; the view then looks at the part by itself.
func askAlone(c *frame.Call, number bom.ID, found *frame.Problems) (*aloneBlock, []decimal.Decimal) {
	body := &aloneBlock{}
	line := form.AskLine(c, number, &body.Fields, found)
	f := &frame.Field{Name: "quantities", Label: "Beside it in quantities of", Value: c.Typed("quantities", "")}
	quantities := quantitiesTyped(c, f, found)
	body.Fields = append(body.Fields, *f, frame.Field{Name: "day", Label: "Rates and rules of the day", Value: c.Typed("day", c.Style.ShowDay(c.View.Day)), Error: c.Faults.Of("day")})
	c.View.Lines, c.View.Together = []estimate.MixLine{line}, false
	body.Pieces, body.Wrong = line.Quantity.Likely.String(), !found.Empty()
	if !slices.ContainsFunc(quantities, line.Quantity.Likely.Equal) {
		quantities = append(quantities, line.Quantity.Likely)
	}
	slices.SortFunc(quantities, decimal.Decimal.Cmp)
	return body, quantities
}

// quantitiesTyped reads a list of quantities; the usual ones where none is typed.
func quantitiesTyped(c *frame.Call, f *frame.Field, found *frame.Problems) []decimal.Decimal {
	var out []decimal.Decimal
	for _, text := range strings.FieldsFunc(f.Value, func(r rune) bool { return r == ',' || r == ';' || r == ' ' }) {
		n, err := frame.ReadQuantity(c.Style, text)
		if err != nil {
			found.Wrong(f, err.Error())
			return nil
		}
		if !slices.ContainsFunc(out, n.Equal) {
			out = append(out, n)
		}
	}
	if len(out) > mostQuantities {
		found.Wrong(f, "that are more quantities than stand side by side; at most 12")
	}
	if len(out) == 0 {
		for _, n := range usualQuantities {
			out = append(out, decimal.New(n, 0))
			f.Value = strings.TrimPrefix(f.Value+", "+decimal.New(n, 0).String(), ", ")
		}
	}
	return out
}

// fill prices the part in every quantity, and says how many to make.
func (body *aloneBlock) fill(c *frame.Call, quantities []decimal.Decimal) error {
	asked := c.View.Lines[0]
	var channels []bom.ID
	for _, n := range quantities {
		line := asked
		line.Quantity = bom.Exactly(n)
		mix := []estimate.MixLine{line}
		e, _, err := c.Site.Service.Estimate(c.R.Context(), mix, c.View.Day)
		if answer.CodeOf(err) == answer.Invalid {
			body.Fault = "The part cannot be priced: " + frame.OnceEach(err) + "."
			return nil
		} else if err != nil {
			return err
		}
		sheet, _, err := c.Site.Service.Sheet(c.R.Context(), mix, c.View.Day)
		if err != nil {
			return err
		}
		link, v := frame.Prover(frame.View{Lines: mix, Day: c.View.Day}), e.Variants[0]
		row := aloneRow{Pieces: n.String(), Asked: n.Equal(asked.Quantity.Likely), Full: link.Money(v.Full), Batch: link.Money(sheet.Figure("variant/" + line.Name() + "/batch/full"))}
		for i, p := range v.Channels {
			if i == len(channels) {
				channels, body.Channels = append(channels, p.Channel), append(body.Channels, channelName(c, p.Channel))
			}
			row.Prices = append(row.Prices, link.Money(p.Shelf))
		}
		if row.Asked {
			body.Full = row.Full
		}
		body.Rows = append(body.Rows, row)
	}
	body.PriceHref = "/parts/" + string(asked.Part) + "/price?" + c.View.Query()
	body.SureHref = form.LineHref("/spread", c.View, "", asked)
	if p, _ := c.Book.Part(asked.Part); p != nil && p.FirstGuess != nil {
		cost, alike, err := form.RestsOn(c, asked, c.View.Day)
		if err != nil {
			return err
		}
		if alike { // else the page of the price tells them apart
			body.Rests = cost
		}
	}
	return body.advise(c, asked)
}

func channelName(c *frame.Call, id bom.ID) string {
	if ch, _ := c.Book.Channel(id); ch != nil {
		return ch.Name
	}
	return "without a channel"
}

// AdviceRequest asks how many of a line to make, from half to double of what it asks for.
func AdviceRequest(l estimate.MixLine, day bom.Date) study.CurveRequest {
	n := l.Quantity.Likely.IntPart()
	return study.CurveRequest{Day: day, From: max(1, n/2), To: 2*n + 1, Quantity: n, Breaks: 1, Curves: []study.Selection{study.SelectionOf(l, "")}}
}

// mostAdvised is up to how many pieces a curve from half to double is drawn beside a part.
const mostAdvised = 5_000

// advise says how many to make, where that can be drawn at once.
func (body *aloneBlock) advise(c *frame.Call, l estimate.MixLine) error {
	if l.Quantity.Likely.GreaterThan(decimal.New(mostAdvised, 0)) {
		return nil
	}
	drawn, _, err := c.Site.Service.Curve(c.R.Context(), AdviceRequest(l, c.View.Day))
	if frame.Refused(err) { // gaps: said beside the cost
		return nil
	}
	if err == nil {
		body.Advice = form.AdviceOf(c.Book, drawn.Curves[0].Advice, "/curves/0/advice", l, c.View.Day)
	}
	return err
}
