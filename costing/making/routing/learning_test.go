package routing_test

import (
	"fmt"
	"math"
	"math/big"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
)

// learnt is a routing of one operation of one minute a piece with a learning curve.
func learnt(t *testing.T, l bom.Learning) *shop {
	t.Helper()
	return newShop(t, []bom.Operation{{Number: 10, Kind: bom.Manual, PieceMin: ft.Num("1"), Learning: &l}}, nil)
}

func (w *shop) value(good, key string) decimal.Decimal {
	w.T.Helper()
	return w.Get(w.at(good), w.ID(key))
}

const runPieces = "op/10/run-pieces"

// near wants a figure within a share of what it must be.
func near(t *testing.T, what string, got decimal.Decimal, expected *big.Float, share float64) {
	t.Helper()
	diff := new(big.Float).Sub(ft.Float(got.Rat()), expected)
	if expected.Sign() != 0 {
		diff.Quo(diff, expected)
	}
	if off, _ := diff.Abs(diff).Float64(); !(off <= share) {
		t.Errorf("%s is %s, want %s (off by %.2g)", what, got, expected.Text('f', 30), off)
	}
}

// TestUnitSums compares the unit model with a sum unit by unit. Up to 16 units the
// figures are sums too and have all digits; beyond, the stated bound of the formula
// must hold.
func TestUnitSums(t *testing.T) {
	t.Parallel()
	for _, rate := range []string{"0.5001", "0.6", "0.85", "0.9999", "1"} {
		w := learnt(t, bom.Learning{Model: bom.UnitModel, Rate: *ft.Num(rate)})
		b := ft.Slope(ft.Rat(rate))
		sum := ft.Float(big.NewRat(0, 1))
		for n := int64(1); n <= 1200; n++ {
			sum.Add(sum, ft.Raised(n, b))
			if n > 20 && n%97 != 0 && n != 1200 {
				continue
			}
			bound := 1e-14
			if n <= 16 {
				bound = 1e-31
			}
			near(t, fmt.Sprintf("%d units at %s", n, rate), w.value(fmt.Sprint(n), runPieces), sum, bound)
		}
	}
}

// TestBoundIsNeeded: without its corrections the formula is off by far more than
// the bound, so that the test above would see a wrong one.
func TestBoundIsNeeded(t *testing.T) {
	t.Parallel()
	w := learnt(t, bom.Learning{Model: bom.UnitModel, Rate: *ft.Num("0.8")})
	v := w.at("17")
	for _, key := range []string{"correction-1", "correction-2", "correction-3", "correction-4"} {
		d, err := v.Get(w.ID("op/10/learning/" + key))
		if err != nil || d.IsZero() {
			t.Errorf("%s is %s (%v)", key, d, err)
		}
	}
	plain, err := v.Get(w.ID("op/10/learning/batch-whole-taken"))
	if f, _ := plain.Float64(); err != nil || math.Abs(f) < 1e-9 {
		t.Errorf("the corrections taken off come to %s (%v)", plain, err)
	}
}

// TestAverageModel is T₁·[(N₀+u)^(1+b) − N₀^(1+b)].
func TestAverageModel(t *testing.T) {
	t.Parallel()
	for _, rate := range []string{"0.51", "0.8", "0.93", "1"} {
		power := new(big.Float).Add(ft.Float(big.NewRat(1, 1)), ft.Slope(ft.Rat(rate)))
		for _, made := range []int64{0, 1, 7, 500} {
			l := bom.Learning{Model: bom.AverageModel, Rate: *ft.Num(rate)}
			before := ft.Float(big.NewRat(0, 1))
			if made > 0 {
				n := bom.Whole(made)
				l.MadeBefore, before = &n, ft.Raised(made, power)
			}
			w := learnt(t, l)
			for _, u := range []int64{1, 2, 16, 333} {
				expected := new(big.Float).Sub(ft.Raised(made+u, power), before)
				near(t, fmt.Sprintf("%d units after %d at %s", u, made, rate), w.value(fmt.Sprint(u), runPieces), expected, 1e-28)
			}
		}
	}
}

// TestFractionOfAUnit takes that share of the next unit's time, under both models.
func TestFractionOfAUnit(t *testing.T) {
	t.Parallel()
	for _, model := range []bom.LearningModel{bom.UnitModel, bom.AverageModel} {
		w := learnt(t, bom.Learning{Model: model, Rate: *ft.Num("0.8"), MadeBefore: ft.Num("20")})
		for _, n := range []string{"0", "1", "15", "16", "40"} {
			next := ft.Dec(n).Add(decimal.New(1, 0)).String()
			low, high := w.value(n, runPieces), w.value(next, runPieces)
			between := w.value(ft.Dec(n).Add(decimal.New(25, -2)).String(), runPieces)
			expected := ft.Plus(low.Rat(), ft.Times(ft.Rat("0.25"), ft.Plus(high.Rat(), ft.Times(ft.Rat("-1"), low.Rat()))))
			near(t, fmt.Sprintf("%s model, a quarter after %s", model, n), between, ft.Float(expected), 1e-13)
		}
	}
}

// TestWithoutLearning: a rate of 1 is no learning at all, to the last digit.
func TestWithoutLearning(t *testing.T) {
	t.Parallel()
	for _, model := range []bom.LearningModel{bom.UnitModel, bom.AverageModel} {
		w := learnt(t, bom.Learning{Model: model, Rate: *ft.Num("1"), MadeBefore: ft.Num("12")})
		for _, u := range []string{"0", "1", "3.5", "16", "17", "4000"} {
			if got := w.value(u, runPieces); !got.Equal(ft.Dec(u)) {
				t.Errorf("%s model at rate 1: %s units take %s", model, u, got)
			}
		}
	}
}

// TestLearningOnlySaves: with the time of the first unit entered, a batch never
// takes longer than without the curve, more units never take less, each further
// unit never more than the one before, and experience never costs time.
func TestLearningOnlySaves(t *testing.T) {
	t.Parallel()
	for _, model := range []bom.LearningModel{bom.UnitModel, bom.AverageModel} {
		for _, rate := range []string{"0.55", "0.8", "0.97"} {
			for _, floor := range []*bom.Number{nil, ft.Num("0.4")} {
				green := learnt(t, bom.Learning{Model: model, Rate: *ft.Num(rate), FloorMin: floor})
				old := learnt(t, bom.Learning{Model: model, Rate: *ft.Num(rate), FloorMin: floor, MadeBefore: ft.Num("30")})
				onlySaves(t, fmt.Sprintf("%s model at %s", model, rate), green, old, floor != nil)
			}
		}
	}
}

func onlySaves(t *testing.T, what string, green, old *shop, floored bool) {
	t.Helper()
	before, step := decimal.Zero, decimal.New(2, 0)
	slack := decimal.New(1, -12) // the formula beyond 16 units is right to 14 digits
	for u := int64(1); u <= 24; u++ {
		n := decimal.New(u, 0)
		got, practised := green.value(n.String(), runPieces), old.value(n.String(), runPieces)
		switch {
		case got.GreaterThan(n.Add(slack)):
			t.Errorf("%s: %d units take %s", what, u, got)
		case got.LessThan(before):
			t.Errorf("%s: %d units take %s, one less %s", what, u, got, before)
		case !floored && got.Sub(before).GreaterThan(step.Add(slack)):
			t.Errorf("%s: unit %d takes %s, the one before %s", what, u, got.Sub(before), step)
		case practised.GreaterThan(got.Add(slack)):
			t.Errorf("%s: %d units take %s, after 30 others %s", what, u, got, practised)
		case floored && got.LessThan(n.Mul(decimal.New(4, -1))):
			t.Errorf("%s: %d units take %s, less than the floor", what, u, got)
		}
		before, step = got, got.Sub(before)
	}
}

// TestEnteredTime: an average of the first units, or the time of one unit, gives a
// first unit from which it follows again.
func TestEnteredTime(t *testing.T) {
	t.Parallel()
	for _, model := range []bom.LearningModel{bom.UnitModel, bom.AverageModel} {
		for _, n := range []string{"1", "2", "16", "17", "240"} {
			rate := *ft.Num("0.83")
			average := learnt(t, bom.Learning{Model: model, Rate: rate, AverageAt: ft.Num(n)})
			near(t, fmt.Sprintf("%s model: %s units of one minute on average", model, n), average.value(n, runPieces), ft.Float(ft.Rat(n)), 1e-30)
			made := bom.Exactly(ft.Dec(n).Sub(decimal.New(1, 0)))
			unit := learnt(t, bom.Learning{Model: model, Rate: rate, UnitAt: ft.Num(n), MadeBefore: &made})
			near(t, fmt.Sprintf("%s model: unit %s, which takes one minute", model, n), unit.value("1", runPieces), ft.Float(big.NewRat(1, 1)), 1e-11)
		}
	}
}

// TestLearningFloor is the larger of the curve and units × floor, for the batch as
// a whole; the check sees a floor above the first unit.
func TestLearningFloor(t *testing.T) {
	t.Parallel()
	w := learnt(t, bom.Learning{Model: bom.UnitModel, Rate: *ft.Num("0.8"), FloorMin: ft.Num("0.5")})
	if got := w.value("2", runPieces); got.String() != "1.8" {
		t.Errorf("two units take %s, want 1 + 0.8", got)
	}
	if got := w.value("1000", runPieces); !got.Equal(decimal.New(500, 0)) {
		t.Errorf("1000 units take %s, want the floor of 500", got)
	}
	if got := w.value("1", "op/10/learning/floor-fits"); got.String() != "1" {
		t.Errorf("a floor of half a minute does not fit a first unit of one: %s", got)
	}
	above := learnt(t, bom.Learning{Model: bom.UnitModel, Rate: *ft.Num("0.8"), FloorMin: ft.Num("1.5")})
	if got := above.value("1", "op/10/learning/floor-fits"); !got.IsZero() {
		t.Errorf("a floor above the first unit passes: %s", got)
	}
}

// TestLearningLeavesTheRest: set-up and loads do not learn.
func TestLearningLeavesTheRest(t *testing.T) {
	t.Parallel()
	op := bom.Operation{Number: 10, Kind: bom.Manual, SetupMin: ft.Num("30"), PieceMin: ft.Num("2"), LoadMin: ft.Num("3"), PiecesPerLoad: ft.Num("4"),
		Learning: &bom.Learning{Model: bom.AverageModel, Rate: *ft.Num("0.8")}}
	w := newShop(t, []bom.Operation{op}, nil)
	v := w.at("8")
	w.Want(v, "run time of the pieces", w.ID(runPieces), ft.Rat("8.192")) // 2 × 8 × 0.8³
	w.Want(v, "occupied", w.flow.Steps[0].Occupied, ft.Rat("44.192"))
	w.Want(v, "cycle time", w.ID("op/10/cycle-time"), ft.Rat("1.774")) // 1.024 + 3/4
}

// TestLearningInColumns: the evaluator of many quantities at once gives the same.
func TestLearningInColumns(t *testing.T) {
	t.Parallel()
	for _, model := range []bom.LearningModel{bom.UnitModel, bom.AverageModel} {
		w := learnt(t, bom.Learning{Model: model, Rate: *ft.Num("0.8"), MadeBefore: ft.Num("3")})
		quantities := []float64{1, 2, 12, 13, 14, 100, 5000}
		got := sweep(t, w, quantities)
		for i, q := range quantities {
			exactly, _ := w.value(fmt.Sprint(q), runPieces).Float64()
			if math.Abs(got[i]-exactly) > 1e-12*exactly {
				t.Errorf("%s model, %g units: %g in a column, %g exactly", model, q, got[i], exactly)
			}
		}
	}
}

func sweep(t *testing.T, w *shop, quantities []float64) []float64 {
	t.Helper()
	plan, err := column.New(w.Graph, column.Options{Vary: []graph.ID{w.good}, Outputs: []graph.ID{w.ID(runPieces)}})
	if err != nil {
		t.Fatal(err)
	}
	c := plan.Columns()
	copy(c.In(0), quantities)
	if err := c.Run(len(quantities)); err != nil {
		t.Fatal(err)
	}
	return c.Out(0)
}
