package chart

import (
	"fmt"
	"strings"
	"testing"
)

func stepCurve(curves ...Curve) StepCurve {
	return NewStepCurve(StepCurveData{ID: "c", Title: "t", Quantity: "pieces", Figure: "EUR", Curves: curves})
}

func TestEachRunHasItsPathAndItsEnds(t *testing.T) {
	t.Parallel()
	c := stepCurve(Curve{"a", []Run{
		{Points: []Point{{0, 10}, {5, 8}}, OpenEnd: true},
		{Points: []Point{{5, 6}, {6, 5}}},
		{Points: []Point{{6, 7}, {8, 5}}},
	}, 2})
	l := c.Lines[0]
	if want := []string{"M0.0 0.0L625.0 400.0", "M625.0 800.0L750.0 1000.0", "M750.0 600.0L1000.0 1000.0"}; fmt.Sprint(l.Paths) != fmt.Sprint(want) {
		t.Errorf("paths %v, want %v", l.Paths, want)
	}
	y := func(share float64) string { return pixels(float64(c.Top) + share*tallHeight) }
	want := []Dot{
		{"62.50%", y(0.4), "open curve-1", "disc"}, {"62.50%", y(0.8), "closed curve-1", "disc"},
		{"75.00%", y(1), "closed curve-1", "disc"}, {"75.00%", y(0.6), "closed curve-1", "disc"},
	}
	if fmt.Sprint(l.Dots) != fmt.Sprint(want) {
		t.Errorf("dots %v, want %v", l.Dots, want)
	}
	if l.Breaks != 2 || !c.HasBreaks() || !c.HasOpenEnds() || !strings.Contains(c.Desc, "a has 2 break quantities") {
		t.Errorf("%d breaks, %q", l.Breaks, c.Desc)
	}
}

func TestLonePointsAreNotJoined(t *testing.T) {
	t.Parallel()
	c := stepCurve(Curve{"a", []Run{{Points: []Point{{0, 3}}}, {Points: []Point{{1, 1}}}, {Points: []Point{{2, 2}}}, {Points: []Point{{3, 3}, {4, 1}}}}, 0})
	if l := c.Lines[0]; l.Lone != "M0.0 0.0h0M250.0 1000.0h0M500.0 500.0h0" || fmt.Sprint(l.Paths) != "[M750.0 0.0L1000.0 1000.0]" {
		t.Errorf("paths %v, lone points %s", l.Paths, l.Lone)
	}
	if c.HasBreaks() || c.HasOpenEnds() {
		t.Errorf("%+v", c.Lines[0])
	}
}

func TestLoneQuantityHasOneDot(t *testing.T) {
	t.Parallel()
	c := stepCurve(Curve{"a", []Run{{Points: []Point{{0, 9}, {3, 8}}}, {Points: []Point{{4, 5}}}, {Points: []Point{{5, 7}, {8, 6}}}}, 2})
	var at []string
	for _, d := range c.Lines[0].Dots {
		at = append(at, d.X)
	}
	if fmt.Sprint(at) != "[37.50% 50.00% 62.50%]" {
		t.Errorf("dots at %v", at)
	}
}

func TestTwoCurvesLookDifferent(t *testing.T) {
	t.Parallel()
	run := []Run{{Points: []Point{{1, 3}}}, {Points: []Point{{2, 2}}}}
	c := stepCurve(Curve{"a", run, 1}, Curve{"b", run, 1})
	if a, b := c.Lines[0], c.Lines[1]; a.Class == b.Class || a.Shape == b.Shape || a.Dots[0].Shape == b.Dots[0].Shape || len(a.Dots) != 2 {
		t.Errorf("%+v\n%+v", a, b)
	}
}

func TestScalesOfCurves(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		to, low  float64
		xlog     bool
		uprights string
	}{
		{8, 40, false, "40 50 60 70 80"}, {9, 40, true, "40 50 60 70 80"}, {9, 20, true, "0 20 40 60 80"}, {9, 4, true, "5 10 20 50"}, {9, -4, true, "−20 0 20 40 60 80"},
	} {
		got := stepCurve(Curve{"a", []Run{{Points: []Point{{1, 80}, {c.to, c.low}}}}, 0})
		if got.X.Log != c.xlog || tickTexts(got.Y, "rough") != c.uprights || got.X.Log != strings.HasSuffix(got.X.Label, "logarithmic scale") {
			t.Errorf("to %v, from %v: %q, upright %s", c.to, c.low, got.X.Label, tickTexts(got.Y, "rough"))
		}
	}
}

// TestCrowdedCurve draws a curve with a break at every quantity.
func TestCrowdedCurve(t *testing.T) {
	t.Parallel()
	var runs []Run
	for n := range 5000 {
		runs = append(runs, Run{Points: []Point{{float64(n), float64(n % 7)}}})
	}
	for _, l := range stepCurve(Curve{"a", runs, 4999}, Curve{"b", runs, 4999}).Lines {
		if len(l.Paths) > 0 || strings.Count(l.Lone, "h0") != 5000 || float64(len(l.Dots)) > 2/dotsApart+4 || len(l.Dots) < 20 {
			t.Errorf("%d lines, %d lone points and %d dots", len(l.Paths), strings.Count(l.Lone, "h0"), len(l.Dots))
		}
	}
}

func TestMarkedPoints(t *testing.T) {
	t.Parallel()
	curve := Curve{"a", []Run{{Points: []Point{{0, 10}, {8, 6}}}}, 0}
	least := CurveSpot{Spot{Mark: Mark{Label: "least cost", Text: "8", Value: "8", Key: "q"}, Class: "least"}, Mark{Text: "6.00", Value: "6", Key: "f"}}
	c := NewStepCurve(StepCurveData{ID: "c", Title: "t", Quantity: "pieces", Figure: "EUR", Curves: []Curve{curve}, Marks: []CurveSpot{least}})
	if len(c.Dots) != 1 || c.Dots[0] != (Dot{"100.00%", pixels(float64(c.Bottom())), "spot least", "diamond"}) {
		t.Errorf("%+v", c.Dots)
	}
	if f := c.Flags[0]; !f.End || f.Second.Key != "f" || c.Marks.Rows[0].Cells[1].Key != "f" {
		t.Errorf("%+v", f)
	}
}
