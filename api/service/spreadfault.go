package service

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/ask/simulate"
	"kerfbook/costing/graph"
	"kerfbook/costing/text"
)

// finder finds what a request names and collects what it does not find.
type finder struct {
	g   *graph.Graph
	bad *answer.Error
}

func (f *finder) err() error {
	if len(f.bad.Fields) == 0 {
		return nil
	}
	return f.bad
}

func (f *finder) add(pointer, format string, args ...any) {
	f.bad.Fields = append(f.bad.Fields, answer.FieldError{Path: pathOf(pointer), Pointer: pointer, Message: fmt.Sprintf(format, args...)})
}

// key finds a figure.
func (f *finder) key(pointer, key string) graph.ID {
	id, ok := f.g.Find(key)
	if !ok {
		f.add(pointer, "%s", (&answer.UnknownKeyError{Key: bom.Shorten(key), Similar: answer.Similar(f.g, key)}).Error())
		return graph.None
	}
	return id
}

// questions hands each question about prices to the prices it is about.
func (f *finder) questions(asked []PriceQuestion, of []pricing) {
	for i, a := range asked {
		at := indexed("/prices", i)
		if a.Price == nil && a.Chance == nil {
			f.add(at, "asks for nothing; give a price, a chance or both")
		}
		if a.Price != nil && !a.Price.IsPositive() {
			f.add(at+"/price", "%s is not more than 0", a.Price)
		}
		if a.Chance != nil && !isChance(*a.Chance) {
			f.add(at+"/chance", "%s is no chance; give one between 0 and 1, such as 0.8", a.Chance)
		}
		found := false
		for j := range of {
			if (a.Channel == "" || of[j].Channel == a.Channel) && (a.Trim == "" || of[j].trim == a.Trim) {
				of[j].ask(a)
				found = true
			}
		}
		if !found {
			f.add(at+"/channel", "the mix has no price of %s in %s", cmp.Or(bom.Shorten(a.Trim), "any variant"), cmp.Or(bom.Shorten(string(a.Channel)), "any channel"))
		}
	}
}

func isChance(d decimal.Decimal) bool {
	return d.IsPositive() && d.LessThan(decimal.New(1, 0))
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

func indexed(pointer string, i int) string { return fmt.Sprintf("%s/%d", pointer, i) }

// pathOf writes a pointer into a request as a path in words.
func pathOf(pointer string) string {
	var path string
	for part := range strings.SplitSeq(strings.TrimPrefix(pointer, "/"), "/") {
		switch {
		case strings.Trim(part, "0123456789") == "":
			path += "[" + part + "]"
		case path == "":
			path = part
		default:
			path += "." + part
		}
	}
	return path
}

// fault words an error of the engine. Fields of its request are fields of ours
// under other names.
func (q *spreading) fault(err error) error {
	var request *simulate.RequestError
	var indefinite *simulate.NotDefiniteError
	var undefined *simulate.UndefinedError
	bad := answer.Invalidf("the spread cannot be drawn")
	at := func(field, message string) error {
		bad.Fields = append(bad.Fields, answer.FieldError{Path: field, Pointer: text.Pointer(field), Message: message})
		return bad
	}
	switch {
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return err
	case errors.As(err, &request):
		return at(q.field(request.Field), request.Detail+"; "+request.Remedy)
	case errors.As(err, &indefinite):
		return at(indefinite.Field, strings.TrimPrefix(indefinite.Error(), indefinite.Field+": "))
	case errors.As(err, &undefined):
		return at(q.field(undefined.Field), strings.TrimPrefix(undefined.Error(), undefined.Field+": "))
	}
	return answer.Uncomputable(err)
}

// field names a field of the engine's request as ours. Outputs that nobody named
// belong to no field but the figure whose inputs are ranked.
func (q *spreading) field(theirs string) string {
	switch theirs {
	case "precision.p":
		return "precision.quantile"
	case "precision.output":
		return "precision.figure"
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
