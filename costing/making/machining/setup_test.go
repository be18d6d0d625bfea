package machining_test

import (
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/making/machining"
	"kerfbook/costing/making/routing"
	"kerfbook/costing/rates"
)

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
	ft.Figures
	v        *exact.Values
	r        routing.Cut
	problems []machining.Problem
}

func (s shop) build(t testing.TB, features ...bom.Feature) (*graph.Graph, routing.Cut, []machining.Problem) {
	t.Helper()
	data, err := rates.ReferenceTables([]bom.ID{s.mat.ID, s.mat.CuttingAs})
	if err != nil {
		t.Fatal(err)
	}
	data.Own = s.data
	b := graph.NewBuilder(graph.Limits{})
	money := graph.Currency("EUR")
	m := machining.New(b.Root(), money, machining.Definitions{Day: "2026-11-25", Tools: s.tools, Materials: []rates.Material{s.mat},
		Centres: []rates.WorkCentre{s.centre}, Factors: s.factors, Data: data})
	hour := machining.Rates{Machine: graph.None, Labour: graph.None}
	if s.machine != "" {
		hour.Machine = b.Root().Input("machine-rate", "machine rate", money.Per(graph.Hour), ft.Dec(s.machine))
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
	b := built{Figures: ft.Figures{T: t, Graph: g}, r: r, problems: problems}
	b.v = b.At(nil)
	return b
}

// tried is the operation with other sizes tried out, by key.
func (b built) tried(sizes map[string]string) built {
	b.T.Helper()
	pins := exact.Pins{}
	for key, size := range sizes {
		pins[b.ID(key)] = ft.Dec(size)
	}
	b.v = b.At(pins)
	return b
}

// figure gives a figure by its key, which must exist.
func (b built) figure(key string) decimal.Decimal {
	b.T.Helper()
	if len(b.problems) > 0 {
		b.T.Fatal(b.problems)
	}
	return b.Get(b.v, b.ID(key))
}

// want compares a figure, rounded to the places of the text.
func (b built) want(key, text string) {
	b.T.Helper()
	w := ft.Dec(text)
	if got := b.figure(key).Round(max(0, -w.Exponent())); !got.Equal(w) {
		b.T.Errorf("%s is %s, want %s", key, b.figure(key), text)
	}
}

func endMill(id, d, teeth string) bom.Tool {
	return bom.Tool{ID: bom.ID(id), Name: "end mill " + d, Kind: bom.EndMill, DiameterMM: ft.Num(d), Teeth: ft.Num(teeth)}
}

// pocketOf is a pocket with speeds of its own.
func pocketOf(id string) bom.Feature {
	return bom.Feature{ID: bom.ID(id), Name: "pocket", Kind: bom.Pocket, LengthMM: ft.Num("50"), WidthMM: ft.Num("30"), DepthMM: ft.Num("8"),
		SpeedMMin: ft.Num("300"), FeedMM: ft.Num("0.04"), WidthOfCutMM: ft.Num("3.2"), DepthOfCutMM: ft.Num("4"), ClearanceMM: ft.Num("0")}
}
