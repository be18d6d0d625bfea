package feature

import (
	"math"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
)

// TestConstants reads every constant and holds it to binary arithmetic.
func TestConstants(t *testing.T) {
	t.Parallel()
	b := graph.NewBuilder(graph.Limits{})
	s := b.Root()
	want := map[graph.ID]float64{s.Pi(): math.Pi, raConstant(s): 18 * math.Sqrt(3), rampFactor(s): 1 / math.Tan(3*math.Pi/180),
		s.Two(): 2, s.Four(): 4, eight(s): 8, s.Half(): 0.5}
	g, err := b.Build()
	if err != nil {
		t.Fatal(err)
	}
	if len(want) != 7 {
		t.Fatalf("%d constants", len(want))
	}
	for id, w := range want {
		got, _ := g.Node(id).Value.Float64()
		if math.Abs(got-w) > 1e-14*w {
			t.Errorf("%s is %v, want %v", g.Node(id).Label, got, w)
		}
	}
}

// TestHalfPoint holds the series to sine and cosine over all point angles.
func TestHalfPoint(t *testing.T) {
	t.Parallel()
	for degrees := int64(1); degrees <= 180; degrees++ {
		b := graph.NewBuilder(graph.Limits{})
		s := b.Root()
		a := halfPoint(s, s.Input("angle", "angle", graph.Plain, bom.Whole(degrees).Likely))
		g, err := b.Build()
		if err != nil {
			t.Fatal(err)
		}
		v, err := exact.Evaluate(g, nil)
		if err != nil {
			t.Fatal(err)
		}
		x := float64(degrees) / 2 * math.Pi / 180
		for id, w := range map[graph.ID]float64{a.sin: math.Sin(x), a.cos: math.Cos(x)} {
			d, err := v.Get(id)
			if got, _ := d.Float64(); err != nil || math.Abs(got-w) > 5e-16 {
				t.Errorf("%d°: %s is %v, want %v (%v)", degrees, g.Node(id).Label, got, w, err)
			}
		}
	}
}
