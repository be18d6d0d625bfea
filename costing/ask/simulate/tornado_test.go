package simulate_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/ask/simulate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/graphtest"
)

func tornado(t *testing.T, g *graph.Graph, r simulate.Request) *simulate.Sensitivity {
	t.Helper()
	s, err := simulate.Tornado(context.Background(), g, r, nil)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

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
	r := tornado(t, w.done(), simulate.Request{Outputs: ids(cost)}).Rankings[0]
	if got := r.Likely.Round(6).String(); got != "25.263158" {
		t.Errorf("base %s", got)
	}
	want := []struct{ key, p10, p90, at10, at90, swing string }{
		{"minutes", "10", "15", "22.1053", "30", "7.8947"},
		{"rate", "80", "110", "23.1579", "29.4737", "6.3158"},
		{"yield", "0.9", "0.98", "26.6667", "24.4898", "2.1769"},
		{"material", "5.5", "7.5", "24.7368", "26.8421", "2.1053"},
	}
	for i, b := range r.Bars {
		got := [...]string{b.Input.Key, b.P10.String(), b.P90.String(), b.AtP10.Round(4).String(), b.AtP90.Round(4).String(), b.Swing.Round(4).String()}
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
	var order []string
	for _, bar := range tornado(t, w.done(), simulate.Request{Outputs: ids(sum), Cores: 2}).Rankings[0].Bars {
		order = append(order, bar.Input.Key)
	}
	if strings.Join(order, "") != "abc" {
		t.Errorf("ranked %v", order)
	}
}

// TestTornadoOfADemoTrim pins each input by hand, decisions held, and evaluates.
func TestTornadoOfADemoTrim(t *testing.T) {
	t.Parallel()
	e := glow(t)
	full := e.Variants[0].Full
	s := tornado(t, e.Graph, simulate.Request{Outputs: ids(full)})
	decisions := exact.Pins{}
	likely := graphtest.Evaluated(t, e.Graph)
	for id := range graph.ID(e.Graph.Len()) {
		if op := e.Graph.Node(id).Op; op == graph.Least || op == graph.Decided {
			if v, ok := likely.Raw(id); ok {
				decisions[id] = v
			}
		}
	}
	if len(s.Rankings[0].Bars) != 16 {
		t.Errorf("%d inputs", len(s.Rankings[0].Bars))
	}
	for i, bar := range s.Rankings[0].Bars {
		if i > 0 && bar.Swing.GreaterThan(s.Rankings[0].Bars[i-1].Swing) {
			t.Errorf("rank %d swings more than the one before", i)
		}
		for _, at := range []struct{ input, output decimal.Decimal }{{bar.P10, *bar.AtP10}, {bar.P90, *bar.AtP90}} {
			decisions[bar.Input.ID] = at.input
			v, err := exact.Evaluate(e.Graph, decisions)
			if err != nil {
				t.Fatal(err)
			}
			if want, _ := v.Raw(full); !want.Equal(at.output) {
				t.Errorf("%s at %s: %s, want %s", bar.Input.Words(), at.input, at.output, want)
			}
		}
		delete(decisions, bar.Input.ID)
	}
}

// TestTornadoHoldsChoices unless hindsight is asked for. The P90 of the hoped-for
// offer is 14 − √3 = 12.27 against a sure 10.
func TestTornadoHoldsChoices(t *testing.T) {
	t.Parallel()
	g, cost := offers(t)
	held := tornado(t, g, simulate.Request{Outputs: ids(cost)}).Rankings[0].Bars[0]
	if got := held.AtP90.InexactFloat64(); math.Abs(got-(14-math.Sqrt(3))) > 1e-10 {
		t.Errorf("held: %v", got)
	}
	free := tornado(t, g, simulate.Request{Outputs: ids(cost), Hindsight: true}).Rankings[0].Bars[0]
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
	s := tornado(t, w.done(), simulate.Request{Outputs: ids(out)})
	last := s.Rankings[0].Bars[1]
	if last.Input.Key != "x" || last.AtP10 != nil || last.AtP90 == nil || !last.Swing.IsZero() {
		t.Errorf("%+v", last)
	}
}

// TestInputValuesHaveTwelveDigits: 8 + √(0.1 · 7 · 2) of a triangular range.
func TestInputValuesHaveTwelveDigits(t *testing.T) {
	t.Parallel()
	w := write(t)
	x := w.triangle("x", "8", "10", "15")
	tiny := w.shaped("tiny", bom.Uniform, "0", "0", "0.0000000001")
	bars := tornado(t, w.done(), simulate.Request{Outputs: ids(x, tiny)}).Rankings[0].Bars
	if got := bars[0].P10.String(); got != "9.18321595662" {
		t.Errorf("P10 %s", got)
	}
	if got := bars[1].P90.String(); got != "0.00000000009" {
		t.Errorf("P90 of the tiny range %s", got)
	}
}
