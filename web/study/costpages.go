package study

import (
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

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
