package change

import (
	"context"
	"reflect"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book/record"
	"kerfbook/costing/text"
)

// BookDifference is what two books do not share, record by record.
type BookDifference struct {
	Day      bom.Date           `json:"day"`
	Quantity string             `json:"quantity"`
	Currency string             `json:"currency"`
	Records  []RecordDifference `json:"records"`
	// Costs are those of the first book and of the second, with all that differs.
	Costs []CostMoved `json:"costs"`
}

// RecordDifference is a record that only one of the books has, or that says something else
// in the second.
type RecordDifference struct {
	Kind   string                 `json:"kind"`
	ID     string                 `json:"id"`
	Name   string                 `json:"name,omitempty"`
	Did    string                 `json:"did"` // added, removed or changed
	Fields []text.FieldDifference `json:"fields"`
	// Costs are the full costs that move if the first book takes this record alone from
	// the second; Why says why there are none, where that book has no figures.
	Costs []CostMoved `json:"costs"`
	Why   string      `json:"why,omitempty"`
}

// CostMoved is the full cost of a piece of a trim, made alone, in two books; a figure is
// empty where one of them has none.
type CostMoved struct {
	Trim   string        `json:"trim"`
	Before answer.Figure `json:"before,omitzero"`
	After  answer.Figure `json:"after,omitzero"`
}

// DifferenceOf holds two books against one another. tell, which may be nil, is told how
// many records are done of how many.
func DifferenceOf(ctx context.Context, before, after answer.Origin, quantity decimal.Decimal, day bom.Date, tell func(done, total int)) (BookDifference, error) {
	out := BookDifference{Day: day, Quantity: quantity.String(), Currency: string(before.Book.Currency), Records: []RecordDifference{}}
	held, err := ShelfOf(before.Book, nil)
	if err != nil {
		return out, err
	}
	var next []Draft
	for _, k := range record.Kinds() {
		stays, find := map[string]bool{}, record.Finder(before.Book, k)
		for _, r := range record.All(after.Book, k) {
			stays[r.ID] = true
			was, had := find(r.ID)
			d, err := NewDraft(k, r.ID, r.Value, nil)
			if err != nil {
				return out, answer.Unexpected(err)
			}
			found, err := recordDifference(was, r, had)
			if err != nil {
				return out, answer.Unexpected(err)
			}
			if len(found.Fields) > 0 {
				out.Records, next = append(out.Records, found), append(next, d)
			}
		}
		for _, r := range record.All(before.Book, k) {
			if !stays[r.ID] {
				out.Records = append(out.Records, RecordDifference{Kind: k.Name, ID: r.ID, Name: r.Title(), Did: "removed", Fields: []text.FieldDifference{}, Costs: []CostMoved{}})
				next = append(next, Draft{Kind: k, ID: r.ID, Deleted: true})
			}
		}
	}
	req := answer.PriceRequest{Day: day, Quantities: []decimal.Decimal{quantity}}
	first, err := fullCosts(ctx, before, req)
	if err != nil {
		return out, err
	}
	for i, d := range next {
		if tell != nil {
			tell(i, len(next))
		}
		alone := answer.Of(held.With([]Draft{d}).Book)
		costs, err := fullCosts(ctx, alone, req)
		switch {
		case ctx.Err() != nil:
			return out, ctx.Err()
		case err != nil:
			out.Records[i].Why = err.Error()
		default:
			out.Records[i].Costs = moved(first, costs, false)
		}
	}
	last, err := fullCosts(ctx, after, req)
	out.Costs = moved(first, last, true)
	return out, err
}

// recordDifference says what a record of the second book says that was not said before.
func recordDifference(was, is record.Record, had bool) (RecordDifference, error) {
	out := RecordDifference{Kind: is.Kind.Name, ID: is.ID, Name: is.Title(), Did: "changed", Fields: []text.FieldDifference{}, Costs: []CostMoved{}}
	if !had {
		was.Value, out.Did = reflect.Zero(is.Kind.Type), "added"
	}
	var err error
	out.Fields, err = fieldsOf(was.Value, is.Value)
	return out, err
}

// fieldsOf lists what differs between two values of a kind.
func fieldsOf(was, is reflect.Value) ([]text.FieldDifference, error) {
	return text.Differences(was.Interface(), is.Interface())
}

// valueOf reads the text of a record as it is kept; of none it is empty.
func valueOf(k record.Kind, kept []byte) (reflect.Value, error) {
	if len(kept) == 0 {
		return reflect.Zero(k.Type), nil
	}
	value, _, err := k.Read(k.Plain(kept))
	return value, err
}

// trimCost is the full cost of a trim.
type trimCost struct {
	trim, name, quantity string
	full                 answer.Figure
}

func fullCosts(ctx context.Context, o answer.Origin, req answer.PriceRequest) ([]trimCost, error) {
	list, err := o.Price(ctx, req)
	if err != nil {
		return nil, err
	}
	var out []trimCost
	for _, e := range list.Estimates {
		for _, v := range e.Variants {
			out = append(out, trimCost{v.Trim, v.Name, v.Quantity.Value, v.Full})
		}
	}
	return out, nil
}

// moved pairs the costs of two books by trim; only those that differ, unless all are asked
// for.
func moved(before, after []trimCost, all bool) []CostMoved {
	out := []CostMoved{}
	find := func(list []trimCost, trim string) (answer.Figure, bool) {
		for _, c := range list {
			if c.trim == trim {
				return c.full, true
			}
		}
		return answer.Figure{}, false
	}
	for _, b := range before {
		a, _ := find(after, b.trim)
		if all || a.Value != b.full.Value || a.AtLeast != b.full.AtLeast {
			out = append(out, CostMoved{b.trim, b.full, a})
		}
	}
	for _, a := range after {
		if _, had := find(before, a.trim); !had {
			out = append(out, CostMoved{Trim: a.trim, After: a.full})
		}
	}
	return out
}
