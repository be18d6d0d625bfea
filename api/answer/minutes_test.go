package answer

import (
	"encoding/csv"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/papers/table"
)

func (f Figure) float() float64 {
	d, _ := f.Number()
	v, _ := d.Float64()
	return v
}

// TestMinutesOfTheHeatSink holds what is said of the demo's heat sink against what it
// follows from: the spindle turns with the speed at the edge, n = 1000·v/(π·D); a face of
// levels × rows passes is as long as these, each the length, the diameter and 2 mm at
// both ends; its minutes are path ÷ table feed; the minutes of the features make up those
// of the operation; and the tools that came next cost more, the nearer first.
func TestMinutesOfTheHeatSink(t *testing.T) {
	t.Parallel()
	s, b := demoSheet(t)
	def, _ := b.Part("HS-010")
	m := MinutesOf(b, def, s)
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-9*(1+math.Abs(want)) {
			t.Errorf("%s is %.12g, want %.12g", what, got, want)
		}
	}
	sum, faces, next := map[int]float64{}, 0, 0
	for i, f := range m.Features {
		sum[f.Operation] += f.Cutting.float()
		op := def.Routing[slices.IndexFunc(def.Routing, func(o bom.Operation) bool { return o.Number == f.Operation })]
		feature := op.Features[slices.IndexFunc(op.Features, func(x bom.Feature) bool { return string(x.ID) == f.Feature })]
		tool := b.Tools[slices.IndexFunc(b.Tools, func(x bom.Tool) bool { return string(x.ID) == f.Tool })]
		d, _ := tool.DiameterMM.Likely.Float64()
		if f.Kind != "tap" && f.Kind != "chamfer" {
			near(f.Name+": spindle", f.Spindle.float(), 1000*f.Speed.float()/(math.Pi*d))
		}
		if f.Kind == "face" {
			faces++
			passes := 1.0
			for _, p := range f.Passes {
				passes *= p.Count.float()
			}
			l, _ := feature.LengthMM.Likely.Float64()
			near(f.Name+": path", f.Path.float(), passes*(l+d+4))
			near(f.Name+": minutes", f.Cutting.float(), f.Path.float()/f.Feed.float())
		}
		last := f.Cost.float()
		for _, o := range f.Others {
			next++
			if c := o.Cost.float(); c < last || o.Minutes.Key == "" || len(f.Others) > 3 {
				t.Errorf("%s: %s costs %g after %g, of %d", f.Name, o.Name, c, last, len(f.Others))
			} else {
				last = c
			}
		}
		if i > 0 && f.AtCut.Key == "" && f.Kind == "pocket" {
			t.Errorf("%s has no power", f.Name)
		}
	}
	if faces == 0 || next == 0 {
		t.Errorf("%d faces, %d other tools", faces, next)
	}
	for number, all := range sum {
		near(fmt.Sprintf("operation %d", number), s.Figure(fmt.Sprintf("part/HS-010/op/%d/cutting", number)).float(), all)
	}
	data, err := m.CSV(table.Data)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(strings.NewReader(string(data))).ReadAll()
	if err != nil || len(rows) != 1+len(m.Features) {
		t.Fatalf("%d rows of %d features, %v", len(rows), len(m.Features), err)
	}
	at := func(name string) int { return slices.Index(rows[0], name) }
	for i, f := range m.Features {
		row := rows[i+1]
		if row[at("feature")] != f.Feature || row[at("tool")] != f.Tool || row[at("cutting_min")] == "" || (len(f.Passes) > 0) != (row[at("passes")] != "") || (len(f.Others) > 0) != (row[at("other_cost_1")] != "") {
			t.Errorf("%s: %q", f.Name, row)
		}
	}
}

// TestMinutesWithoutABatch: a part that the batch does not use has features and no
// figures, and one without features has none.
func TestMinutesWithoutABatch(t *testing.T) {
	t.Parallel()
	_, b := demoSheet(t)
	def, _ := b.Part("HS-010")
	m := MinutesOf(b, def, EmptySheet())
	if len(m.Features) == 0 || m.Features[0].Tool != "" || m.Features[0].Cutting.Key != "" {
		t.Errorf("%+v", m.Features)
	}
	screw := slices.IndexFunc(b.Parts, func(p bom.Part) bool { return p.Kind == bom.Bought })
	if m := MinutesOf(b, &b.Parts[screw], EmptySheet()); m.Features == nil || len(m.Features) != 0 {
		t.Errorf("%+v", m)
	}
}
