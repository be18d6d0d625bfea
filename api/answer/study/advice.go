package study

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/ask/curve"
	"kerfbook/costing/papers/show"
)

// BatchAdvice says how many to make of about as many as are asked for.
type BatchAdvice struct {
	Words string `json:"words" doc:"The whole advice in a sentence or two"`
	Asked Pieces `json:"asked"`
	Make  Pieces `json:"make" doc:"Up to the step if it raises the cost of each, or else as many as are asked for"`
	// Step is the place within a tenth of the quantity asked for at which one piece more
	// costs most; Rises says that this raises the cost of each.
	Step  AddedPiece `json:"step"`
	Rises bool       `json:"rises"`
	// Good is the next quantity above, up to twice what is asked for, at which each
	// costs least before a step.
	Good   *CurveAt     `json:"good,omitempty"`
	Brings []Brought    `json:"brings" doc:"What one piece more brings, at the price asked for the batch"`
	Matter []AddedPiece `json:"matter" doc:"The steps of the range that add most and raise the cost of each"`
	Unit   string       `json:"unit"`
}

// AddedPiece is what one piece more costs: the batch of From less the batch of UpTo.
type AddedPiece struct {
	UpTo  Pieces `json:"up_to"`
	From  Pieces `json:"from"`
	Costs string `json:"costs"`
	Batch string `json:"batch" doc:"Of up_to pieces"`
	Each  string `json:"each" doc:"Of up_to pieces"`
	// BecauseKey is the figure of the first of these.
	BecauseKey string      `json:"because_key,omitempty"`
	Because    string      `json:"because,omitempty" doc:"What stands for a tenth of it and more, the largest first, in words; empty where that is counted piece by piece"`
	Causes     []CurveStep `json:"causes"`
}

// Brought is what a piece brings in a channel.
type Brought struct {
	Channel  bom.ID        `json:"channel"`
	Proceeds answer.Figure `json:"proceeds"`
	Earns    bool          `json:"earns" doc:"It is more than the piece after the step costs"`
}

// mattering is how many steps are told.
const mattering = 3

// advise reads the advice for the batch off a curve; nil where that does not reach a
// tenth of it to both sides.
func (w *sweep) advise(ctx context.Context, r answer.Reader) (*BatchAdvice, error) {
	a, err := w.curve.Advise(ctx, w.req.Quantity, mattering)
	if a == nil || err != nil {
		return nil, err
	}
	out := &BatchAdvice{Asked: Pieces(a.Asked), Make: Pieces(a.Make()), Rises: a.Rises, Step: w.added(a.Step), Brings: []Brought{}, Matter: []AddedPiece{},
		Unit: string(w.Estimate.Book.Currency)}
	for _, m := range a.Matter {
		out.Matter = append(out.Matter, w.added(m))
	}
	if a.Good != nil {
		out.Good = &CurveAt{Pieces(a.Good.Quantity), a.Good.Value.String(), true}
	}
	for _, p := range w.variant.Prices {
		proceeds := r.Figure(p.Proceeds)
		out.Brings = append(out.Brings, Brought{p.Channel, proceeds, decimalIn(proceeds.Value).GreaterThan(a.Step.Costs)})
	}
	out.Words = out.words(w)
	return out, nil
}

func (w *sweep) added(a curve.Added) AddedPiece {
	out := AddedPiece{UpTo: Pieces(a.UpTo), From: Pieces(a.From), Costs: a.Costs.String(), Batch: a.Batch.String(), Each: a.Each.String(), Causes: stepsOf(a.Causes)}
	because := []string{}
	for i, c := range stepsOf(a.Main) {
		if i == 0 {
			out.BecauseKey = c.Figure.Key
		}
		because = append(because, c.brief(w.Estimate.Book, len(w.Estimate.Parts) == 1))
	}
	out.Because = listed(because)
	return out
}

// Earns reports that the piece after the step brings more than it costs, wherever it is
// sold: then the step is no reason to make fewer.
func (a *BatchAdvice) Earns() bool {
	return len(a.Brings) > 0 && !slices.ContainsFunc(a.Brings, func(b Brought) bool { return !b.Earns })
}

// words puts the advice in a sentence or two.
func (a *BatchAdvice) words(w *sweep) string {
	money := func(text string) string { return show.Money(decimalIn(text), a.Unit) }
	var b strings.Builder
	if a.Rises {
		var earning []string
		for _, br := range a.Brings {
			if c, _ := w.Estimate.Book.Channel(br.Channel); c != nil && br.Earns {
				earning = append(earning, c.Name)
			}
		}
		switch {
		case a.Earns():
			fmt.Fprintf(&b, "Make as many as sell: the %s costs %s", Ordinal(a.Step.From), money(a.Step.Costs))
		case len(earning) > 0:
			fmt.Fprintf(&b, "Make %d, not %d, unless all sell in %s: the %s costs %s", a.Make, a.Step.From, listed(earning), Ordinal(a.Step.From), money(a.Step.Costs))
		default:
			fmt.Fprintf(&b, "Make %d, not %d: the %s costs %s", a.Make, a.Step.From, Ordinal(a.Step.From), money(a.Step.Costs))
		}
		if a.Step.Because != "" {
			b.WriteString(", " + a.Step.Because)
		}
		var brings []string
		for _, br := range a.Brings {
			where := ""
			if c, _ := w.Estimate.Book.Channel(br.Channel); c != nil {
				where = " in " + c.Name
			}
			brings = append(brings, money(br.Proceeds.Value)+where)
		}
		if len(brings) > 0 {
			b.WriteString("; it brings " + listed(brings))
		}
		if a.Earns() {
			b.WriteString(", so it still earns")
		}
	} else {
		fmt.Fprintf(&b, "No step within a tenth of %d: each further piece adds at most %s, so more make each cheaper", a.Asked, money(a.Step.Costs))
	}
	if a.Good != nil {
		fmt.Fprintf(&b, "; %d is the next good number: %s each", a.Good.Quantity, money(a.Good.Value))
	}
	return b.String() + "."
}

// listed joins words with commas and a last "and".
func listed(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}
