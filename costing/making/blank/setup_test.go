package blank_test

import (
	"errors"
	"math/big"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/making/blank"
	"kerfbook/costing/making/purchase"
	"kerfbook/costing/rates"
)

func whole(n int) *big.Rat { return new(big.Rat).SetInt64(int64(n)) }

// job is one part cut from one stock.
type job struct {
	stock       bom.Stock
	blank       bom.Blank
	material    rates.Material
	reclaim     string // money/kg, "" for none
	recovered   string
	offer       rates.Offer
	start, good int
	massG       string
}

// plain is a job with one piece of stock at 100 and nothing else.
func plain(form bom.StockForm) job {
	return job{
		stock:    bom.Stock{ID: "S", Form: form, LengthMM: *ft.Num("1000"), WidthMM: ft.Num("500"), ThicknessMM: ft.Num("10")},
		material: rates.Material{ID: "M", Name: "metal", DensityGCM3: *ft.Num("8.93")},
		offer: rates.Offer{For: "S", Supplier: "sup", Unit: rates.PerPiece, Currency: "EUR",
			Breaks: []rates.PriceBreak{{From: *ft.Num("1"), Price: *ft.Num("100")}}},
		start: 1, good: 1,
	}
}

// built is a job as a graph with its charge.
type built struct {
	ft.Figures
	charge blank.Charge
}

func (j job) build(t *testing.T) *built {
	t.Helper()
	b := graph.NewBuilder(graph.Limits{})
	root := b.Root().From(graph.Source{Where: "test"})
	st := blank.NewStock(root.In("stock", "S"), &j.stock, j.material, root.In("material", "M"))
	if j.reclaim != "" {
		perKg := graph.Currency("EUR").Per(graph.Kilogram)
		st.Reclaim = root.Input("reclaim", "price of chips", perKg, ft.Dec(j.reclaim))
	}
	if j.recovered != "" {
		st.Recovered = root.Input("recovered", "share collected", graph.Plain, ft.Dec(j.recovered))
	}
	st.Offers = []purchase.Offer{purchase.NewOffer(root.In("offer"), graph.Source{Where: "offer"}, j.offer, graph.Plain, graph.None, nil)}
	start := root.Input("start", "start", graph.Piece, decimal.New(int64(j.start), 0))
	good := root.Input("good", "good", graph.Piece, decimal.New(int64(j.good), 0))
	mass := graph.None
	if j.massG != "" {
		mass = root.Input("mass", "mass", graph.Gram.Per(graph.Piece), ft.Dec(j.massG))
	}
	out := &built{charge: blank.Build(root.In("part"), &j.blank, st, start, good, mass)}
	out.Figures = ft.Of(t, b)
	return out
}

// id finds a figure by its key below the part, or by its full key.
func (b *built) id(key string) graph.ID {
	b.T.Helper()
	if b.Has("part/" + key) {
		return b.ID("part/" + key)
	}
	return b.ID(key)
}

// with evaluates with figures pinned by key.
func (b *built) with(pins map[string]string) (*exact.Values, error) {
	held := exact.Pins{}
	for key, value := range pins {
		held[b.id(key)] = ft.Dec(value)
	}
	return exact.Evaluate(b.Graph, held)
}

func (b *built) values() *exact.Values {
	b.T.Helper()
	return b.At(nil)
}

func (b *built) get(v *exact.Values, key string) decimal.Decimal {
	b.T.Helper()
	return b.Get(v, b.id(key))
}

// outside wants an error that the layout was not decided for an input.
func outside(t *testing.T, err error, input string) {
	t.Helper()
	var e *exact.OutsideDecisionError
	if !errors.As(err, &e) {
		t.Errorf("%s changed: got %v, want an OutsideDecisionError", input, err)
		return
	}
	if e.Key != "part/layout" && e.Key != "part/layout/mixed/count" || e.Input != input {
		t.Errorf("%s changed: the error names decision %s and input %s", input, e.Key, e.Input)
	}
}
