package shop

import (
	"kerfbook/api/edge"
	"kerfbook/web/chart"
	"kerfbook/web/form"
	"kerfbook/web/frame"
	"kerfbook/web/notation"
)

// writingBody asks how the person writes, and lets try what a field understands.
type writingBody struct {
	Fields, Try []frame.Field
	Drawn       *chart.SpreadOf // of the number, with a low and a high beside it
}

// writing asks how numbers and days are written for the person, in this browser.
func writing(c *frame.Call) error {
	mark := frame.Field{Name: "mark", Label: "Decimal mark", Hint: "Either is understood where it can mean nothing else."}
	var marks, orders []frame.Option
	for _, m := range notation.Marks() {
		marks = append(marks, frame.Option{Value: m.Word, Label: m.Example})
	}
	days := frame.Field{Name: "days", Label: "Days", Hint: "Any of these is understood; of two figures with slashes, yours."}
	for _, o := range notation.Orders() {
		orders = append(orders, frame.Option{Value: o.Word, Label: o.Example})
	}
	nowMark, nowDays := c.Style.Words()
	mark.Offer(marks, nowMark)
	days.Offer(orders, nowDays)
	text := frame.Field{Name: "text", Label: "Typed", Value: c.Typed("text", "3/8 in")}
	unit := frame.Field{Name: "unit", Label: "In a field that counts in", Value: c.Typed("unit", "mm"), Hint: "Such as mm, min, share or EUR per h."}
	var found frame.Problems
	_, _ = form.Number(c.Style, &text, unit.Value, &found)
	p := c.Page("book", "Numbers and days", &writingBody{[]frame.Field{mark, days}, []frame.Field{text, unit},
		form.Drawn(c.Style, unit.Value, c.R.Form.Get("low"), text.Value, c.R.Form.Get("high"), c.R.Form.Get("sd"), c.R.Form.Get("shape"))})
	p.Problems = found
	return c.Show("writing", p)
}

// keepWriting keeps it.
func keepWriting(c *frame.Call) error {
	s, ok := notation.OfWords(c.Form("mark"), c.Form("days"))
	if !ok {
		return &edge.Refusal{Kind: edge.BadRequest, Detail: "a decimal mark and an order of days are chosen of two lists"}
	}
	c.KeepStyle(s)
	return c.LeadTo("/writing", "kept")
}
