package study

import (
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// costPages links the pages that say more about the cost of a selection.
func costPages(c *frame.Call, sel form.Selection, here string) []frame.Link {
	q := form.ViewQuery(c.View)
	cost := frame.Link{Label: "Cost", Href: "/?" + q.Encode() + "#cost", Current: false}
	sel.Prefix = ""
	sel.Put(q)
	out := []frame.Link{cost, {Label: "How sure", Href: "/spread?" + q.Encode(), Current: here == "spread"}}
	if len(sel.Lines) != 1 {
		q = form.ViewQuery(c.View)
	}
	out = append(out, frame.Link{Label: "Batch curve", Href: "/curve?" + q.Encode(), Current: here == "curve"})
	q = form.ViewQuery(c.View)
	if len(sel.Lines) == 1 {
		form.PutLine(q, form.BeforeSide, sel.Lines[0])
	}
	return append(out, frame.Link{Label: "Why they differ", Href: "/compare?" + q.Encode(), Current: here == "compare"})
}

// hiddenView keeps the view in a form that has fields of its own beside it. The
// day is such a field.
func hiddenView(c *frame.Call) []frame.Link {
	var out []frame.Link
	for _, name := range []string{"mix", "as"} {
		if v := form.ViewQuery(c.View).Get(name); v != "" {
			out = append(out, frame.Link{Label: name, Href: v})
		}
	}
	return out
}

// dayField asks for the day of rates and rules.
func dayField(c *frame.Call) frame.Field {
	f := frame.Field{Name: "day", Label: "Rates and rules of the day", Value: c.Typed("day", c.Style.ShowDay(c.View.Day)), Error: c.Faults.Of("day")}
	if c.Book.TimeZone == "" {
		f.Hint = "Today is the day by UTC, since the shop names no time zone."
	}
	return f
}
