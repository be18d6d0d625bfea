package web

import (
	"net/url"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/costing/graph/proof"
	"kerfbook/costing/papers/show"
)

// fig is a figure as a page shows it: rounded for the eye, with the key and exact
// value it stands for and the address of its proof.
type fig struct {
	Key, Value string
	Label      string
	Text       string
	Unit       string
	Href       string
	Entered    bool // stands in the place of the computed figure
	Age        int  // days since the oldest price it rests on ran out
}

// Mark tells whether there is a figure at all.
func (f fig) Mark() bool { return f.Key != "" }

// linker writes figures so that each leads to its proof.
type linker struct {
	base  string // address under which proofs are found, ending in a slash
	query string // the batch, with its question mark; empty where there is none
}

// prover links to the proofs of a batch of a view.
func (v view) prover(i int) linker { return prover(view{Lines: v.mixes()[i], Day: v.Day}) }

func prover(v view) linker {
	q := url.Values{"mix": {mixText(v.Lines)}, "day": {string(v.Day)}}
	return linker{"/proof/", "?" + q.Encode()}
}

func (l linker) href(key string) string {
	if l.base == "" {
		return ""
	}
	parts := strings.Split(key, "/")
	for i, p := range parts {
		parts[i] = url.PathEscape(p)
	}
	return l.base + strings.Join(parts, "/") + l.query
}

// write shows a figure through a way of writing numbers; a figure without a value
// is said to have none.
func (l linker) write(f answer.Figure, text func(decimal.Decimal) string) fig {
	if f.Key == "" {
		return fig{}
	}
	out := fig{Key: f.Key, Value: f.Value, Label: f.Label, Unit: f.Unit, Text: "undefined", Href: l.href(f.Key), Entered: f.Overridden, Age: f.OutOfDateDays}
	if d, ok := f.Number(); ok {
		out.Text = minus(text(d))
	}
	return out
}

// money writes an amount with the decimals of the currency in its unit.
func (l linker) money(f answer.Figure) fig {
	return l.write(f, func(d decimal.Decimal) string { return show.Money(d, currencyOf(f.Unit)) })
}

// percent writes a share.
func (l linker) percent(f answer.Figure) fig { return l.write(f, show.Percent) }

// places writes a number with fixed decimals.
func (l linker) places(f answer.Figure, places int32) fig {
	return l.write(f, func(d decimal.Decimal) string { return show.Places(d, places) })
}

// plain writes a number as it is, shortened where it has many digits.
func (l linker) plain(f answer.Figure) fig { return l.write(f, show.Full) }

// step writes the figure of a proof.
func (l linker) step(s proof.Step) fig {
	return l.plain(answer.Figure{Key: s.Key, Label: s.Label, Value: s.Value, Unit: s.Unit, OutOfDateDays: s.OutOfDateDays})
}

// currencyOf gives the currency a unit such as EUR/piece begins with.
func currencyOf(unit string) string {
	code, _, _ := strings.Cut(unit, "/")
	return code
}

// minus writes the sign of a negative number as a minus, not a hyphen.
func minus(text string) string {
	if rest, ok := strings.CutPrefix(text, "-"); ok {
		return "−" + rest
	}
	return text
}

// field gives the decimal text of a figure for an input, where a hyphen is what
// people type.
func (f fig) Input() string { return f.Value }

// totalKey is the key of what a quote comes to.
const totalKey = "quote/total"

// quoteLinker links to the proofs that a quote carries itself.
func quoteLinker(number string, revision int) linker {
	return linker{"/quotes/" + number + "/proof/", "?revision=" + digitsOf(revision)}
}

// changedBy links to the proofs of the batch with a change that is not saved.
func (l linker) changedBy(ch change.Change) linker {
	l.query += "&change=" + url.QueryEscape(ch.Key+"="+ch.Value)
	return l
}
