package landed_test

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/book"
	"kerfbook/costing/book/booktest"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/selling/freight"
	"kerfbook/costing/selling/landed"
	"kerfbook/costing/trade"
)

// shop is the demo with the reference rows beside it, all of which a test may
// change.
type shop struct {
	book  *book.Book
	rules trade.Rules
}

func newShop(t *testing.T) shop {
	t.Helper()
	reference, err := trade.Reference()
	if err != nil {
		t.Fatal(err)
	}
	return shop{booktest.Demo(t), reference}
}

// answer is what a destination shows: its figures, or why it has none.
type answer struct {
	figures string
	blank   bool
	why     string
}

// answers prices a lamp to every destination of the demo.
func (s shop) answers(t *testing.T) map[string]answer {
	t.Helper()
	out := map[string]answer{}
	for i, d := range s.book.Destinations {
		out[d.Place()] = s.answer(t, d, fmt.Sprintf("destinations[%d]", i))
	}
	return out
}

func (s shop) answer(t *testing.T, d trade.Destination, path string) answer {
	t.Helper()
	builder := graph.NewBuilder(graph.Limits{})
	root, p := builder.Root(), s.book.Products[0]
	unit := graph.Currency(string(s.book.Currency)).Per(graph.Piece)
	line := landed.Line{Key: "glow", Name: "Glow", Product: p.Number, Trim: "glow", HSCode: p.HSCode, National: p.National, Origin: p.Origin,
		Path: "products[0]", Price: root.Input("price", "price", unit, decimal.New(20317, -2)), Cost: root.Input("cost", "cost", unit, decimal.New(120, 0)),
		Quantity: root.Input("quantity", "quantity", graph.Piece, decimal.New(1, 0)), Parcel: freight.NewParcel(root.In("parcel"), p.Parcel)}
	f, err := landed.Build(root, landed.Context{Day: "2026-11-25", Dispatch: s.book.Country, Currency: s.book.Currency, Card: s.book.RateCards[0],
		CardPath: "rate_cards[0]", Tables: trade.Tables{Reference: s.rules}, Carriers: s.book.Carriers, Destination: d, Path: path},
		landed.Consignment{Key: "glow", Lines: []landed.Line{line}})
	if err != nil {
		return answer{"", true, err.Error()}
	}
	figures := ft.Of(t, builder)
	v := figures.At(nil)
	var undefined *exact.UndefinedError
	if _, err := v.Get(f.BuyerClears.Total); errors.As(err, &undefined) {
		return answer{"", true, undefined.Why}
	}
	var text []string
	for _, id := range []graph.ID{f.Goods, f.Delivery, f.BuyerClears.Duty, f.BuyerClears.Charges, f.BuyerClears.Tax, f.BuyerClears.Clearance, f.BuyerClears.Total,
		f.BuyerClears.KeptBook, f.AllPaid.Total, f.AllPaid.Tax, f.AllPaid.KeptBook} {
		if id != graph.None {
			text = append(text, figures.Get(v, id).String())
		}
	}
	return answer{strings.Join(text, " "), false, ""}
}

// Without any one row of taxes, duties, rules, charges, territories, countries,
// exchange rates, carriers, zones or terms of clearance, the demo's lamp has the
// figures it had, or none where the row is needed, and then something says why.
func TestRemovingOneRow(t *testing.T) {
	t.Parallel()
	s := newShop(t)
	before := s.answers(t)
	for place, a := range before {
		if a.blank {
			t.Fatalf("%s is blank: %s", place, a.why)
		}
	}
	blanked := map[string][]string{}
	each := func(kind string, list reflect.Value) {
		for i := range list.Len() {
			whole := reflect.AppendSlice(reflect.MakeSlice(list.Type(), 0, list.Len()), list)
			row := whole.Index(i)
			list.Set(reflect.AppendSlice(reflect.AppendSlice(reflect.MakeSlice(list.Type(), 0, whole.Len()), whole.Slice(0, i)), whole.Slice(i+1, whole.Len())))
			for place, a := range s.answers(t) {
				name := fmt.Sprintf("without row %d of %s (%.90v), %s", i, kind, row.Interface(), place)
				switch {
				case a.blank && a.why == "":
					t.Errorf("%s is blank without a word", name)
				case a.blank:
					blanked[fmt.Sprint(kind, " ", i)] = append(blanked[fmt.Sprint(kind, " ", i)], place)
				case a.figures != before[place].figures:
					t.Errorf("%s: %s became %s", name, before[place].figures, a.figures)
				}
			}
			list.Set(whole)
		}
	}
	rules := reflect.ValueOf(&s.rules).Elem()
	for i := range rules.NumField() {
		each(rules.Type().Field(i).Name, rules.Field(i))
	}
	each("exchange rates", reflect.ValueOf(&s.book.RateCards[0].Exchange).Elem())
	each("carriers", reflect.ValueOf(&s.book.Carriers).Elem())
	for i := range s.book.Carriers {
		each("zones of "+string(s.book.Carriers[i].ID), reflect.ValueOf(&s.book.Carriers[i].Zones).Elem())
		each("clearance of "+string(s.book.Carriers[i].ID), reflect.ValueOf(&s.book.Carriers[i].Clearance).Elem())
	}
	s.needed(t, blanked)
}

// needed wants rows to blank what rests on them and nothing wider: no row but the
// carriers' and the union's concerns more than the members of one zone or union.
func (s shop) needed(t *testing.T, blanked map[string][]string) {
	t.Helper()
	together := [][]string{{"DE", "FR", "IE"}, {"CA-ON", "US"}, {"AU", "JP", "NZ"}, {"DE", "FR", "IE", "PT"}, {"AU", "CA-ON", "CH", "GB", "JP", "NO", "NZ", "US"}}
	alone := map[string]bool{}
	for row, places := range blanked {
		slices.Sort(places)
		if len(places) == 1 {
			alone[places[0]] = true
			continue
		}
		if !slices.ContainsFunc(together, func(set []string) bool { return slices.Equal(set, places) }) {
			t.Errorf("%s blanks %v", row, places)
		}
	}
	for _, d := range s.book.Destinations {
		if !alone[d.Place()] {
			t.Errorf("no row is needed for %s alone", d.Place())
		}
	}
}
