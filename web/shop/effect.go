package shop

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/bom"
	"kerfbook/costing/book/field"
	"kerfbook/costing/estimate"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// effect is what saving would do to the figures that are looked at.
type effect struct {
	Rows   []effectRow
	Same   int    // figures that stay
	Why    string // figures cannot be given after saving
	Beyond int    // batches that are not compared
}

// effectRow is a figure that moves.
type effectRow struct {
	Label                     string
	Before, After, Difference frame.Fig
}

// mostCompared bounds the batches that are estimated twice for an effect.
const mostCompared = 24

// lookAhead says what saving would do: what would still be missing, and which figures
// would move, the largest first.
func lookAhead(c *frame.Call, drafts []change.Draft) (editBody, error) {
	body := editBody{Looked: true}
	now, after, lacking, err := c.Site.Service.After(c.R.Context(), drafts)
	if err != nil {
		return body, err
	}
	for _, f := range lacking {
		body.Lacking = append(body.Lacking, field.Spoken(f.Message))
	}
	pieces, err := form.WholeNumber(c.Style, c.Form("pieces"))
	if err != nil || pieces < 1 {
		pieces = frame.StandardQuantity
	}
	var mixes [][]estimate.MixLine
	for _, d := range drafts {
		hour, err := frame.HourOf(c, d.Value.Interface())
		if err != nil {
			return body, err
		}
		if hour != nil {
			body.Hours = append(body.Hours, hour)
		}
		if d.Kind.Name == "parts" {
			mixes = append(mixes, []estimate.MixLine{{Part: bom.ID(d.ID), Quantity: bom.Whole(int64(pieces))}})
		}
	}
	mixes = append(mixes, c.View.Mixes()...)
	body.Effect = &effect{Beyond: max(0, len(mixes)-mostCompared)}
	mixes = mixes[:min(len(mixes), mostCompared)]
	for _, mix := range mixes {
		if err := body.Effect.add(c.R.Context(), now, after, mix, c.View.Day); err != nil {
			return body, err
		}
	}
	size := func(r effectRow) string { return strings.TrimPrefix(r.Difference.Value, "-") }
	slices.SortStableFunc(body.Effect.Rows, func(a, b effectRow) int {
		one, _ := bom.ParseDecimal(size(a))
		other, _ := bom.ParseDecimal(size(b))
		return other.Cmp(one)
	})
	return body, nil
}

// add compares one batch before and after.
func (e *effect) add(ctx context.Context, now, after answer.Origin, mix []estimate.MixLine, day bom.Date) error {
	is, err := figures(ctx, after, mix, day)
	if err != nil {
		e.Why = cmp.Or(e.Why, err.Error())
		return nil
	}
	was, err := figures(ctx, now, mix, day)
	if err != nil {
		was = nil // it has none yet
	}
	var before, next []answer.Figure
	var labels []string
	for _, f := range is {
		at := slices.IndexFunc(was, func(o namedFigure) bool { return o.of.Key == f.of.Key })
		if at < 0 {
			e.Rows = append(e.Rows, effectRow{Label: f.label, After: frame.Linker{}.Money(f.of)})
			continue
		}
		before, next, labels = append(before, was[at].of), append(next, f.of), append(labels, f.label)
	}
	rows, err := answer.Compare(before, next)
	if err != nil {
		return err
	}
	for i, r := range rows {
		if r.Before.Value == r.After.Value && r.Before.AtLeast == r.After.AtLeast {
			e.Same++
			continue
		}
		row := effectRow{labels[i], frame.Linker{}.Money(r.Before), frame.Linker{}.Money(r.After), signedMoney(r.Difference)}
		// A product of one part is called and costs like it: the same is said once.
		if !slices.ContainsFunc(e.Rows, func(o effectRow) bool {
			return o.Label == row.Label && o.Before.Value == row.Before.Value && o.After.Value == row.After.Value
		}) {
			e.Rows = append(e.Rows, row)
		}
	}
	return nil
}

// signedMoney writes a difference with its sign.
func signedMoney(f answer.Figure) frame.Fig {
	out := frame.Linker{}.Money(f)
	if d, ok := f.Number(); ok && d.IsPositive() {
		out.Text = "+" + out.Text
	}
	return out
}

// namedFigure is a figure with what it is called beside others.
type namedFigure struct {
	label string
	of    answer.Figure
}

// figures are the full cost and the prices asked of a batch.
func figures(ctx context.Context, o answer.Origin, mix []estimate.MixLine, day bom.Date) (out []namedFigure, err error) {
	e, err := o.Evaluate(ctx, mix, day)
	if err != nil {
		return nil, err
	}
	for _, v := range e.Figures().Variants {
		name := v.Name + " at " + v.Quantity.Value + ", "
		out = append(out, namedFigure{name + "full cost", v.Full})
		for _, ch := range v.Channels {
			out = append(out, namedFigure{name + "price asked, " + string(ch.Channel), ch.Shelf})
		}
	}
	return out, nil
}
