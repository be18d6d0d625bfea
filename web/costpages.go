package web

import (
	"net/url"
)

// costPages links the pages that say more about the cost of a selection.
func costPages(c *call, sel selection, here string) []link {
	q := viewValues(c)
	cost := link{"Cost", "/?" + q.Encode() + "#cost", false}
	sel.prefix = ""
	sel.put(q)
	out := []link{cost, {"How sure", "/spread?" + q.Encode(), here == "spread"}}
	if len(sel.lines) != 1 {
		q = viewValues(c)
	}
	out = append(out, link{"Batch curve", "/curve?" + q.Encode(), here == "curve"})
	q = viewValues(c)
	if len(sel.lines) == 1 {
		putLine(q, beforeSide, sel.lines[0])
	}
	return append(out, link{"Why they differ", "/compare?" + q.Encode(), here == "compare"})
}

func viewValues(c *call) url.Values { return viewQuery(c.view) }

// hiddenView keeps the view in a form that has fields of its own beside it. The
// day is such a field.
func hiddenView(c *call) []link {
	var out []link
	for _, name := range []string{"mix", "as"} {
		if v := viewValues(c).Get(name); v != "" {
			out = append(out, link{Label: name, Href: v})
		}
	}
	return out
}

// dayField asks for the day of rates and rules.
func dayField(c *call) field {
	f := field{Name: "day", Label: "Rates and rules of the day", Value: c.typed("day", string(c.view.Day)), Error: c.faults.of("day")}
	if c.book.TimeZone == "" {
		f.Hint = "Today is the day by UTC, since the shop names no time zone."
	}
	return f
}
