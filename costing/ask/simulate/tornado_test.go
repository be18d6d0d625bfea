package simulate

import (
	"math"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/graphtest"
)

// TestTornadoExample, own arithmetic, is (minutes × rate ÷ 60 + material) ÷ yield:
// the example swings each input between two values, which are made the P10 and the
// P90 of uniform ranges here.
func TestTornadoExample(t *testing.T) {
	t.Parallel()
	w := write(t)
	minutes := w.shaped("minutes", bom.Uniform, "9.375", "12", "15.625") // 10 to 15
	rate := w.shaped("rate", bom.Uniform, "76.25", "90", "113.75")       // 80 to 110
	material := w.shaped("material", bom.Uniform, "5.25", "6", "7.75")   // 5.5 to 7.5
	yield := w.shaped("yield", bom.Uniform, "0.89", "0.95", "0.99")      // 0.90 to 0.98
	time := w.Divide("time", "time", w.Multiply("x", "x", minutes, rate), w.constant("sixty", "60"))
	cost := w.Divide("cost", "cost", w.Add("sum", "sum", time, material), yield)
	g := w.done()
	if got, _ := graphtest.Evaluated(t, g).Raw(cost); got.Round(6).String() != "25.263158" {
		t.Errorf("base %s", got)
	}
	want := []struct{ key, p10, p90, at10, at90, swing string }{
		{"minutes", "10", "15", "22.1053", "30", "7.8947"},
		{"rate", "80", "110", "23.1579", "29.4737", "6.3158"},
		{"yield", "0.9", "0.98", "26.6667", "24.4898", "2.1769"},
		{"material", "5.5", "7.5", "24.7368", "26.8421", "2.1053"},
	}
	for i, b := range tornado(t, g, cost, Request{}) {
		got := [...]string{g.Node(b.Input).Key, b.P10.String(), b.P90.String(), b.AtP10.Round(4).String(), b.AtP90.Round(4).String(), b.Swing.Round(4).String()}
		if w := want[i]; got != [...]string{w.key, w.p10, w.p90, w.at10, w.at90, w.swing} {
			t.Errorf("rank %d: %v, want %v", i, got, w)
		}
	}
}

// TestTornadoTies are ranked by key.
func TestTornadoTies(t *testing.T) {
	t.Parallel()
	w := write(t)
	c, a, b := w.triangle("c", "1", "2", "3"), w.triangle("a", "1", "2", "3"), w.triangle("b", "1", "2", "3")
	sum := w.Add("sum", "sum", c, a, b)
	var order []graph.ID
	for _, bar := range tornado(t, w.done(), sum, Request{}) {
		order = append(order, bar.Input)
	}
	if !slices.Equal(order, ids(a, b, c)) {
		t.Errorf("ranked %v", order)
	}
}

// TestTornadoOfADemoTrim pins each input by hand, decisions held, and evaluates.
func TestTornadoOfADemoTrim(t *testing.T) {
	t.Parallel()
	e := glow(t)
	full := e.Variants[0].Full
	bars := tornado(t, e.Graph, full, Request{})
	decisions := exact.Pins{}
	likely := graphtest.Evaluated(t, e.Graph)
	for id := range graph.ID(e.Graph.Len()) {
		if op := e.Graph.Node(id).Op; op == graph.Least || op == graph.Decided {
			if v, ok := likely.Raw(id); ok {
				decisions[id] = v
			}
		}
	}
	if len(bars) != 16 {
		t.Errorf("%d inputs", len(bars))
	}
	for i, bar := range bars {
		if i > 0 && bar.Swing.GreaterThan(bars[i-1].Swing) {
			t.Errorf("rank %d swings more than the one before", i)
		}
		for _, at := range []struct{ input, output decimal.Decimal }{{bar.P10, *bar.AtP10}, {bar.P90, *bar.AtP90}} {
			decisions[bar.Input] = at.input
			v, err := exact.Evaluate(e.Graph, decisions)
			if err != nil {
				t.Fatal(err)
			}
			if want, _ := v.Raw(full); !want.Equal(at.output) {
				t.Errorf("%s at %s: %s, want %s", words(e.Graph, bar.Input), at.input, at.output, want)
			}
		}
		delete(decisions, bar.Input)
	}
}

// TestTornadoHoldsChoices unless hindsight is asked for. The P90 of the hoped-for
// offer is 14 − √3 = 12.27 against a sure 10.
func TestTornadoHoldsChoices(t *testing.T) {
	t.Parallel()
	g, cost := offers(t)
	held := tornado(t, g, cost, Request{})[0]
	if got := held.AtP90.InexactFloat64(); math.Abs(got-(14-math.Sqrt(3))) > 1e-10 {
		t.Errorf("held: %v", got)
	}
	free := tornado(t, g, cost, Request{Hindsight: true})[0]
	if free.AtP90.String() != "10" {
		t.Errorf("with hindsight: %v", free.AtP90)
	}
}

// TestTornadoWhereNothingIsDefined leaves the end open and ranks it last.
func TestTornadoWhereNothingIsDefined(t *testing.T) {
	t.Parallel()
	w := write(t)
	x := w.shaped("x", bom.Uniform, "0", "3", "4")
	y := w.triangle("y", "1", "2", "3")
	whole := w.Floor("whole", "whole", x, w.constant("step", "1"))
	out := w.Divide("out", "out", y, whole)
	last := tornado(t, w.done(), out, Request{})[1]
	if last.Input != x || last.AtP10 != nil || last.AtP90 == nil || !last.Swing.IsZero() {
		t.Errorf("%+v", last)
	}
}

// TestInputValuesHaveTwelveDigits: 8 + √(0.1 · 7 · 2) of a triangular range.
func TestInputValuesHaveTwelveDigits(t *testing.T) {
	t.Parallel()
	w := write(t)
	x := w.triangle("x", "8", "10", "15")
	tiny := w.shaped("tiny", bom.Uniform, "0", "0", "0.0000000001")
	g := w.done()
	if got := tornado(t, g, x, Request{})[0].P10.String(); got != "9.18321595662" {
		t.Errorf("P10 %s", got)
	}
	if got := tornado(t, g, tiny, Request{})[0].P90.String(); got != "0.00000000009" {
		t.Errorf("P90 of the tiny range %s", got)
	}
}
