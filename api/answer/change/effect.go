package change

import (
	"context"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book/record"
	"kerfbook/costing/text"
)

// Effect is what a change of a book did to full costs on a day.
type Effect struct {
	Day   bom.Date       `json:"day"`
	Moved []FullCostStep `json:"moved" doc:"The largest first"`
	Same  int            `json:"unchanged" doc:"How many did not move"`
	Why   string         `json:"why,omitempty" doc:"Why there are none after it"`
}

// FullCostStep is the full cost of a piece before and after a change. Before or By is empty
// where there was no cost, or none that can be compared.
type FullCostStep struct {
	Name     string        `json:"name"`
	Quantity string        `json:"quantity"`
	Before   answer.Figure `json:"before,omitzero"`
	After    answer.Figure `json:"after,omitzero"`
	By       answer.Figure `json:"by,omitzero" doc:"After less before"`
}

// EffectOf compares full costs before and after a change: of each trim in the usual batch
// of its product, or of parts where there is no product yet.
func EffectOf(ctx context.Context, before, after answer.Origin, day bom.Date) (Effect, error) {
	out := Effect{Day: day, Moved: []FullCostStep{}}
	is, err := usualCosts(ctx, after, day)
	if ctx.Err() != nil {
		return out, ctx.Err()
	}
	if err != nil {
		out.Why = err.Error()
		return out, nil
	}
	was, err := usualCosts(ctx, before, day)
	if err != nil {
		was = nil // there was none yet
	}
	var olds, news []answer.Figure
	for _, c := range is {
		at := slices.IndexFunc(was, func(o trimCost) bool { return o.trim == c.trim })
		step := FullCostStep{Name: c.name, Quantity: c.quantity, After: c.full}
		if at >= 0 {
			if step.Before = was[at].full; step.Before.Value == c.full.Value && step.Before.AtLeast == c.full.AtLeast {
				out.Same++
				continue
			}
		}
		out.Moved, olds, news = append(out.Moved, step), append(olds, step.Before), append(news, step.After)
	}
	by, err := answer.Compare(olds, news)
	if err != nil {
		return out, err
	}
	for i, c := range by {
		if out.Moved[i].Before.Key != "" {
			out.Moved[i].By = c.Difference
		}
	}
	size := func(s FullCostStep) decimal.Decimal {
		d, _ := bom.ParseDecimal(strings.TrimPrefix(s.By.Value, "-"))
		return d
	}
	slices.SortStableFunc(out.Moved, func(a, b FullCostStep) int { return size(b).Cmp(size(a)) })
	return out, nil
}

// usualCosts are the full costs that an effect looks at.
func usualCosts(ctx context.Context, o answer.Origin, day bom.Date) (out []trimCost, err error) {
	for _, req := range answer.UsualBatches(o.Book) {
		req.Day = day
		costs, err := fullCosts(ctx, o, req)
		if err != nil {
			return nil, err
		}
		out = append(out, costs...)
	}
	return out, nil
}

// FieldsBetween lists what the second text of a record says that the first does not; an
// empty text says nothing.
func FieldsBetween(k record.Kind, before, after []byte) ([]text.FieldDifference, error) {
	was, err := valueOf(k, before)
	if err != nil {
		return nil, err
	}
	is, err := valueOf(k, after)
	if err != nil {
		return nil, err
	}
	return fieldsOf(was, is)
}
