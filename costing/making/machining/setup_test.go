package machining_test

import (
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/making/machining"
	"kerfbook/costing/rates"
)

// num is a figure a person typed; a mistyped one stops the test.
func num(text string) *bom.Number {
	n := bom.Exactly(decimal.RequireFromString(text))
	return &n
}

// shop is a work centre with tools, in one material.
type shop struct {
	tools   []bom.Tool
	centre  rates.WorkCentre
	mat     rates.Material
	data    []rates.CuttingRow
	factors []rates.Factor
	op      bom.Operation // but for its features
	machine string        // money/h; empty for none
}

// milling is a mill that limits nothing, in a material that nothing is known of.
func milling(tools ...bom.Tool) shop {
	return shop{tools: tools, centre: rates.WorkCentre{ID: "MILL", Name: "mill"}, mat: rates.Material{ID: "M", Name: "material"}, machine: "60"}
}

// built is an operation with its figures.
type built struct {
	t        *testing.T
	g        *graph.Graph
	v        *exact.Values
	r        machining.Result
	problems []machining.Problem
}

func (s shop) build(t testing.TB, features ...bom.Feature) (*graph.Graph, machining.Result, []machining.Problem) {
	t.Helper()
	reference, err := rates.ReferenceCutting()
	if err != nil {
		t.Fatal(err)
	}
	b := graph.NewBuilder(graph.Limits{})
	money := graph.Currency("EUR")
	m := machining.New(b.Root(), money, machining.Definitions{Day: "2026-11-25", Tools: s.tools, Materials: []rates.Material{s.mat},
		Centres: []rates.WorkCentre{s.centre}, Factors: s.factors,
		Data: rates.CuttingTables{Own: s.data, Reference: reference.Rows, Forces: reference.Forces}})
	hour := machining.Rates{Machine: graph.None, Labour: graph.None}
	if s.machine != "" {
		hour.Machine = b.Root().Input("machine-rate", "machine rate", money.Per(graph.Hour), decimal.RequireFromString(s.machine))
	}
	op := s.op
	op.Number, op.Kind, op.WorkCentre, op.Features = 10, bom.Machining, s.centre.ID, features
	r, problems := m.Build(b.Root().In("op").Of("part, operation 10"), &op, s.mat.ID, hour)
	g, err := b.Build()
	if err != nil {
		t.Fatal(err)
	}
	return g, r, problems
}

func (s shop) cut(t *testing.T, features ...bom.Feature) built {
	t.Helper()
	g, r, problems := s.build(t, features...)
	v, err := exact.Evaluate(g, nil)
	if err != nil {
		t.Fatal(err)
	}
	return built{t, g, v, r, problems}
}

// figure gives a figure by its key, which must exist.
func (b built) figure(key string) decimal.Decimal {
	b.t.Helper()
	if len(b.problems) > 0 {
		b.t.Fatal(b.problems)
	}
	id, ok := b.g.Find(key)
	if !ok {
		b.t.Fatalf("there is no figure %s", key)
	}
	return b.of(id)
}

func (b built) of(id graph.ID) decimal.Decimal {
	b.t.Helper()
	v, err := b.v.Get(id)
	if err != nil {
		b.t.Fatal(err)
	}
	return v
}

// want compares a figure, rounded to the places of the text.
func (b built) want(key, text string) {
	b.t.Helper()
	w := decimal.RequireFromString(text)
	if got := b.figure(key).Round(max(0, -w.Exponent())); !got.Equal(w) {
		b.t.Errorf("%s is %s, want %s", key, b.figure(key), text)
	}
}

func (b built) has(key string) bool {
	_, ok := b.g.Find(key)
	return ok
}

func endMill(id, d, teeth string) bom.Tool {
	return bom.Tool{ID: bom.ID(id), Name: "end mill " + d, Kind: bom.EndMill, DiameterMM: num(d), Teeth: num(teeth)}
}

// pocketOf is a pocket with speeds of its own.
func pocketOf(id string) bom.Feature {
	return bom.Feature{ID: bom.ID(id), Name: "pocket", Kind: bom.Pocket, LengthMM: num("50"), WidthMM: num("30"), DepthMM: num("8"),
		SpeedMMin: num("300"), FeedMM: num("0.04"), WidthOfCutMM: num("3.2"), DepthOfCutMM: num("4"), ClearanceMM: num("0")}
}

func (b built) ids(keys ...string) []graph.ID {
	b.t.Helper()
	out := make([]graph.ID, len(keys))
	for i, k := range keys {
		id, ok := b.g.Find(k)
		if !ok {
			b.t.Fatalf("there is no figure %s", k)
		}
		out[i] = id
	}
	return out
}
