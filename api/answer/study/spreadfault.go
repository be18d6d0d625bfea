package study

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/ask/simulate"
	"kerfbook/costing/text"
)

// questions hands each question about prices to the prices it is about.
func questions(f *answer.Finder, asked []PriceQuestion, of []pricing) {
	for i, a := range asked {
		at := answer.Indexed("/prices", i)
		if a.Price == nil && a.Chance == nil {
			f.Add(at, "asks for nothing; give a price, a chance or both")
		}
		if a.Price != nil && !a.Price.IsPositive() {
			f.Add(at+"/price", "%s is not more than 0", a.Price)
		}
		if a.Chance != nil && (!a.Chance.IsPositive() || !a.Chance.LessThan(decimal.New(1, 0))) {
			f.Add(at+"/chance", "%s is no chance; give one between 0 and 1, such as 0.8", a.Chance)
		}
		found := false
		for j := range of {
			if (a.Channel == "" || of[j].Channel == a.Channel) && (a.Trim == "" || of[j].trim == a.Trim) {
				of[j].ask(a)
				found = true
			}
		}
		if !found {
			f.Add(at+"/channel", "the mix has no price of %s in %s", cmp.Or(bom.Shorten(a.Trim), "any variant"), cmp.Or(bom.Shorten(string(a.Channel)), "any channel"))
		}
	}
}

// ask takes a question over; a chance already answered is not answered twice.
func (p *pricing) ask(a PriceQuestion) {
	if a.Price != nil {
		p.prices = append(p.prices, *a.Price)
	}
	if a.Chance != nil && !slices.ContainsFunc(p.chance, a.Chance.Equal) {
		p.chance = append(p.chance, *a.Chance)
		slices.SortFunc(p.chance, decimal.Decimal.Cmp)
	}
}

// fault words an error of the engine. Fields of its request are fields of ours
// under other names.
func (q *spreading) fault(err error) error {
	var request *simulate.RequestError
	switch {
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return err
	case errors.As(err, &request):
		return refused(noSpread, text.Pointer(q.field(request.Field)), "%s; %s", request.Detail, request.Remedy)
	}
	return answer.Uncomputable(err)
}

// field names a field of the engine's request as ours. Outputs that nobody named
// belong to no field but the figure whose inputs are ranked.
func (q *spreading) field(theirs string) string {
	if theirs == "precision.p" {
		return "precision.quantile"
	}
	for i := range q.draw.Outputs {
		if theirs != fmt.Sprintf("outputs[%d]", i) {
			continue
		}
		if i < len(q.req.Figures) {
			return fmt.Sprintf("figures[%d]", i)
		}
		return "movers"
	}
	return theirs
}
