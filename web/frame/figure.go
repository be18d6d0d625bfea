package frame

import (
	"net/url"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/costing/graph/proof"
	"kerfbook/costing/papers/show"
)

// Fig is a figure as a page shows it: rounded for the eye, with the key and exact
// value it stands for and the address of its proof.
type Fig struct {
	Key, Value string
	Label      string
	Text       string
	Without    string // what is missing behind it
	Unit       string
	Href       string
	Entered    bool // stands in the place of the computed figure
	Age        int  // days since the oldest price it rests on ran out
}

// Mark tells whether there is a figure at all.
func (f Fig) Mark() bool { return f.Key != "" }

// Linker writes figures so that each leads to its proof.
type Linker struct {
	Base  string // address under which proofs are found, ending in a slash
	Query string // the batch, with its question mark; empty where there is none
}

// prover links to the proofs of a batch of a view.
func (v View) prover(i int) Linker { return Prover(View{Lines: v.Mixes()[i], Day: v.Day}) }

func Prover(v View) Linker {
	q := url.Values{"mix": {MixText(v.Lines)}, "day": {string(v.Day)}}
	return Linker{"/proof/", "?" + q.Encode()}
}

func (l Linker) Href(key string) string {
	if l.Base == "" {
		return ""
	}
	parts := strings.Split(key, "/")
	for i, p := range parts {
		parts[i] = url.PathEscape(p)
	}
	return l.Base + strings.Join(parts, "/") + l.Query
}

// Write shows a figure through a way of writing numbers; a figure without a value
// is said to have none.
func (l Linker) Write(f answer.Figure, text func(decimal.Decimal) string) Fig {
	if f.Key == "" {
		return Fig{}
	}
	out := Fig{Key: f.Key, Value: f.Value, Label: f.Label, Unit: f.Unit, Text: "undefined", Href: l.Href(f.Key), Entered: f.Overridden, Age: f.OutOfDateDays}
	least, err := decimal.NewFromString(f.AtLeast)
	if err == nil {
		out.Text = "at least " + Minus(text(least))
	} else if len(f.Without) > 0 {
		out.Text = "withheld"
	}
	out.Without = strings.Join(f.Without, ", ")
	if d, ok := f.Number(); ok {
		out.Text = Minus(text(d))
	}
	return out
}

// Money writes an amount with the decimals of the currency in its unit.
func (l Linker) Money(f answer.Figure) Fig {
	return l.Write(f, func(d decimal.Decimal) string { return show.Money(d, currencyOf(f.Unit)) })
}

// Percent writes a share.
func (l Linker) Percent(f answer.Figure) Fig { return l.Write(f, show.Percent) }

// Places writes a number with fixed decimals.
func (l Linker) Places(f answer.Figure, places int32) Fig {
	return l.Write(f, func(d decimal.Decimal) string { return show.Places(d, places) })
}

// Plain writes a number as it is, shortened where it has many digits.
func (l Linker) Plain(f answer.Figure) Fig { return l.Write(f, show.Full) }

// step writes the figure of a proof.
func (l Linker) step(s proof.Step) Fig {
	return l.Plain(answer.Figure{Key: s.Key, Label: s.Label, Value: s.Value, AtLeast: s.AtLeast, Without: s.Without, Unit: s.Unit, OutOfDateDays: s.OutOfDateDays})
}

// currencyOf gives the currency a unit such as EUR/piece begins with.
func currencyOf(unit string) string {
	code, _, _ := strings.Cut(unit, "/")
	return code
}

// Minus writes the sign of a negative number as a minus, not a hyphen.
func Minus(text string) string {
	if rest, ok := strings.CutPrefix(text, "-"); ok {
		return "−" + rest
	}
	return text
}

// TotalKey is the key of what a quote comes to.
const TotalKey = "quote/total"

// QuoteLinker links to the proofs that a quote carries itself.
func QuoteLinker(number string, revision int) Linker {
	return Linker{"/quotes/" + number + "/proof/", "?revision=" + Digits(revision)}
}

// ChangedBy links to the proofs of the batch with changes that are not saved.
func (l Linker) ChangedBy(changes ...change.Change) Linker {
	for _, ch := range changes {
		l.Query += "&change=" + url.QueryEscape(ch.Key+"="+ch.Value)
	}
	return l
}
