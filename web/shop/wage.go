package shop

import (
	"strings"

	"kerfbook/costing/book/record"
	"kerfbook/costing/rates"
	"kerfbook/web/form/recordform"
	"kerfbook/web/frame"
)

// ownHour is the id of the owner's own hour.
const ownHour = "OWN"

// ownQuestions make the owner's own hour, by the places of the answers in the wage.
var ownQuestions = []struct{ place, label, hint, unit string }{
	{"pay_per_year", "What you want to take home a year", "", ""},
	{"on_top", "Your own tax and insurance on top of that", "Such as 30 %; 0 where the amount holds them.", ""},
	{"other_per_year[0].amount", "What the shop costs a year", "Rent, power, insurance, software, and the value that the machines lose.", ""},
	{"hours_per_year", "Hours a year you can charge", "What is left beside quoting, buying, cleaning and days off.", "h"},
}

// ownTyped reads the answers; answered says that there are any.
func ownTyped(c *frame.Call, found *frame.Problems) (own *rates.Wage, answered bool) {
	typed, open := recordform.Typed{"id": ownHour, "name": "my own hour", "other_per_year[0].name": "the shop"}, []int{}
	for i, q := range ownQuestions {
		if typed[q.place] = strings.TrimSpace(c.Form(q.place)); typed[q.place] == "" {
			open = append(open, i)
		}
	}
	if answered = len(open) < len(ownQuestions); !answered {
		return nil, false
	}
	for _, i := range open {
		found.Add(ownQuestions[i].place, ownQuestions[i].label+": answer it too, with 0 where there is nothing")
	}
	k, _ := record.KindOf("wages")
	value, faults := typed.Read(k, c.Style)
	for _, f := range faults {
		found.Add(f.Place, f.Message)
	}
	if len(open)+len(faults) > 0 {
		return nil, true
	}
	w := value.Interface().(rates.Wage) // its kind says so
	return &w, true
}
