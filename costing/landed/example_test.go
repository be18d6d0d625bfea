package landed_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/strict"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/landed"
	"kerfbook/costing/rates"
)

// example is a published calculation with its source.
type example struct {
	ID     string      `book:"id,required"`
	Title  string      `book:"title,required"`
	Source string      `book:"source,required"`
	Status string      `book:"status,required"`
	Day    bom.Date    `book:"day,required"`
	Book   book.Book   `book:"book,required"`
	Mix    []mixLine   `book:"mix,required"`
	Expect []expection `book:"expect,required"`
}

type mixLine struct {
	Product  bom.ID     `book:"product,required"`
	Trim     bom.ID     `book:"trim,required"`
	Quantity bom.Number `book:"quantity,required"`
}

type expection struct {
	Key   string `book:"key,required"`
	Value string `book:"value,required"`
	Unit  string `book:"unit"`
	Note  string `book:"note"`
}

func TestPublishedExamples(t *testing.T) {
	files, err := filepath.Glob("../../testdata/published/landed/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no examples: %v", err)
	}
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".yaml"), func(t *testing.T) {
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if !strings.Contains(string(data), "\n  destinations:") {
				t.Skip("an example of whole estimates, without a destination")
			}
			var ex example
			if _, err := strict.Decode(data, &ex); err != nil {
				t.Fatal(err)
			}
			checkExample(t, ex)
		})
	}
}

// checkExample compares every figure at the places it is printed with.
func checkExample(t *testing.T, ex example) {
	t.Helper()
	g := buildExample(t, ex)
	v, err := exact.Evaluate(g, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range ex.Expect {
		id, ok := g.Find(e.Key)
		if !ok {
			t.Errorf("%s: no such figure", e.Key)
			continue
		}
		got, err := v.Get(id)
		if err != nil {
			t.Errorf("%s: %v", e.Key, err)
			continue
		}
		want := decimal.RequireFromString(e.Value)
		if places := -want.Exponent(); !got.Round(places).Equal(want) {
			t.Errorf("%s: got %s, want %s", e.Key, got, e.Value)
		}
		if unit := g.Node(id).Unit.String(); unit != e.Unit {
			t.Errorf("%s: unit %q, want %q", e.Key, unit, e.Unit)
		}
	}
}

// buildExample writes every variant and basket to every destination.
func buildExample(t *testing.T, ex example) *graph.Graph {
	t.Helper()
	builder := graph.NewBuilder(graph.Limits{})
	h := harness{t: t, s: builder.Root(), ex: ex}
	for i, d := range ex.Book.Destinations {
		for _, l := range ex.Mix {
			h.land(i, d, landed.Consignment{Key: string(l.Trim), Lines: []landed.Line{h.line(l.Product, l.Trim, l.Quantity)}})
		}
		for j, b := range ex.Book.Baskets {
			c := landed.Consignment{Key: string(b.ID), Basket: &ex.Book.Baskets[j], BasketPath: strict.Index("baskets", j)}
			for _, l := range b.Lines {
				c.Lines = append(c.Lines, h.line(l.Product, l.Trim, l.Quantity))
			}
			h.land(i, d, c)
		}
	}
	g, err := builder.Build()
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// harness stands in for the estimate: prices as entered, no costs.
type harness struct {
	t  *testing.T
	s  graph.Scope
	ex example
}

func (h harness) land(i int, d rates.Destination, c landed.Consignment) {
	h.t.Helper()
	reference, err := rates.Reference()
	if err != nil {
		h.t.Fatal(err)
	}
	b := &h.ex.Book
	card, _ := rates.CardOn(b.RateCards, h.ex.Day)
	ctx := landed.Context{Day: h.ex.Day, Dispatch: b.Country, Currency: b.Currency, Card: card, CardPath: "rate_cards[0]",
		Tables: rates.Tables{Own: b.Rules, Reference: reference}, Carriers: b.Carriers, Destination: d, Path: strict.Index("destinations", i)}
	if len(b.Channels) > 0 {
		ctx.Channel, ctx.ChannelPath = &b.Channels[0], "channels[0]"
	}
	if _, err := landed.Build(h.s, ctx, c); err != nil {
		h.t.Fatal(err)
	}
}

func (h harness) line(product, trim bom.ID, quantity bom.Number) landed.Line {
	l := landed.Line{Key: string(trim), Name: string(product), Product: product, Trim: trim, Cost: graph.None, Parcel: landed.NoParcel}
	unit := graph.Currency(string(h.ex.Book.Currency)).Per(graph.Piece)
	for i := range h.ex.Book.Products {
		p := &h.ex.Book.Products[i]
		if p.Number != product {
			continue
		}
		l.HSCode, l.Origin = p.HSCode, p.Origin
		s := h.s.In("product", string(product), "parcel")
		l.Parcel = landed.Parcel{LengthMM: s.Lookup(s.Key("length")), WidthMM: s.Lookup(s.Key("width")), HeightMM: s.Lookup(s.Key("height")), MassG: s.Lookup(s.Key("mass"))}
		if !l.Parcel.Known() {
			l.Parcel = landed.NewParcel(s, p.Parcel)
		}
	}
	for _, p := range h.ex.Book.Prices {
		if p.Product == product {
			l.Price = input(h.s.In("price"), string(product), unit, p.ListPrice.Likely)
		}
	}
	l.Quantity = input(h.s.In("quantity"), string(product)+"-"+quantity.Likely.String(), graph.Piece, quantity.Likely)
	return l
}

func input(s graph.Scope, name string, unit graph.Unit, value decimal.Decimal) graph.ID {
	if id := s.Lookup(s.Key(name)); id != graph.None {
		return id
	}
	return s.Input(name, name, unit, value)
}
