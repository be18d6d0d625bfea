package chart

import (
	"math"
	"strconv"
	"strings"
	"testing"
)

func bins(edges []float64, counts ...int) []Bin {
	var out []Bin
	for i, n := range counts {
		out = append(out, Bin{edges[i], edges[i+1], n})
	}
	return out
}

func pixelsOf(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(strings.TrimSuffix(text, "%"), 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func TestColumnsStandOnTheAxis(t *testing.T) {
	t.Parallel()
	h := NewHistogram(HistogramData{ID: "h", Title: "t", Unit: "EUR", Bins: bins([]float64{0, 1, 2, 3, 4}, 10, 40, 30, 20)})
	if got := tickTexts(h.Y, "rough"); got != "0 10 20 30 40" {
		t.Errorf("the upright axis says %s", got)
	}
	for i, share := range []float64{10, 40, 30, 20} {
		c := h.Columns[i]
		if want := percent(float64(i) / 4); c.X != want || c.Width != "25.00%" {
			t.Errorf("column %d stands at %s and is %s wide", i, c.X, c.Width)
		}
		high, y := pixelsOf(t, c.High), pixelsOf(t, c.Y)
		if math.Abs(high-share/40*plotHeight) > 0.1 || math.Abs(y+high-float64(h.Bottom())) > 0.1 {
			t.Errorf("column %d is %v high and ends at %v, the axis is at %d", i, high, y+high, h.Bottom())
		}
	}
	if row := h.Table.Rows[1].Cells; row[2].Text != "40" || row[3].Text != "40.00 %" || row[3].Value != "0.4" || row[0].Value != "1" {
		t.Errorf("the table says %+v", row)
	}
}

func TestHistogramReachesToItsMarks(t *testing.T) {
	t.Parallel()
	far := Spot{Mark: Mark{Label: "price", Value: "20"}, Class: "target"}
	h := NewHistogram(HistogramData{ID: "h", Unit: "EUR", Bins: bins([]float64{0, 10}, 5), Marks: []Spot{far}})
	if h.Flags[0].X != "100.00%" || h.Columns[0].Width != "50.00%" {
		t.Errorf("%+v", h.Flags)
	}
}

func TestLoneColumnCanBeSeen(t *testing.T) {
	t.Parallel()
	h := NewHistogram(HistogramData{ID: "h", Unit: "EUR", Bins: []Bin{{7, 7, 3}}})
	if h.Columns[0].Width != "6.00%" || h.Columns[0].X != "47.00%" {
		t.Errorf("%+v", h.Columns)
	}
}

func TestCumulativeMarksStandOnTheCurve(t *testing.T) {
	t.Parallel()
	points := []Point{{0, 0.1}, {10, 0.3}, {20, 0.9}, {30, 1}}
	price := Spot{Mark: Mark{Label: "price", Value: "15"}, Class: "target", Second: Mark{Text: "60 %", Value: "0.6", Stat: "chance"}}
	c := NewCumulative(CumulativeData{ID: "k", Unit: "EUR", Points: points, Marks: []Spot{price, {Mark: Mark{Label: "P90", Value: "20"}}}})
	for i, chance := range []float64{0.6, 0.9} {
		if want := float64(c.Top) + (1-chance)*plotHeight; math.Abs(pixelsOf(t, c.Dots[i].Y)-want) > 0.1 {
			t.Errorf("dot %d stands at %s, want %v", i, c.Dots[i].Y, want)
		}
	}
	if len(c.Leads) != 1 || c.Leads[0].X != "50.00%" {
		t.Errorf("leads %+v", c.Leads)
	}
	if want := "M0.0 1000.0L0.0 1000.0L0.0 900.0L333.3 700.0L666.7 100.0L1000.0 0.0L1000.0 0.0L1000.0 0.0"; c.Path != want {
		t.Errorf("path %s, want %s", c.Path, want)
	}
	if c.Marks.Heads[len(c.Marks.Heads)-1].Name != "Chance of no more" || !strings.Contains(c.Desc, "price: 60 %") {
		t.Errorf("table %+v, description %q", c.Marks.Heads, c.Desc)
	}
}
