package routing_test

import (
	"fmt"
	"math/big"
	"math/rand/v2"
	"strings"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/making/routing"
)

// TestRandomRoutings compares every figure of an operation with a walk through
// the routing in fractions, which counts set-ups and loads one by one.
func TestRandomRoutings(t *testing.T) {
	t.Parallel()
	for seed := range uint64(300) {
		d := draw{rand.New(rand.NewPCG(seed, 7))}
		ops, allowance := d.routing(), d.maybe(30, 2)
		with := plus(rat("1"), typed(allowance, "0"))
		if seed%2 == 1 { // of shift time
			with = over(rat("1"), plus(rat("1"), times(rat("-1"), typed(allowance, "0"))))
		}
		w := shopAt(t, ops, allowance, seed%2 == 1)
		for _, good := range []string{"0", "1", "48", "300"} {
			v := w.at(good)
			for i, st := range walk(ops, rat(good), with) {
				compare(t, v, fmt.Sprintf("seed %d, %s good, operation %d", seed, good, ops[i].Number), w.flow.Steps[i], st)
			}
		}
	}
}

func compare(t *testing.T, v *exact.Values, what string, got routing.Step, st stage) {
	t.Helper()
	want(t, v, what+" started", got.Started, st.started)
	want(t, v, what+" units in", got.UnitsIn, st.unitsIn)
	if got.Setups != graph.None {
		want(t, v, what+" set-ups", got.Setups, st.setups)
	}
	if got.Operation.Kind == bom.Outside {
		none(t, what, got.PieceTime, got.LoadTime, got.Occupied, got.Attended)
		return
	}
	timed(t, v, what+" piece time", got.PieceTime, st.piece)
	timed(t, v, what+" load time", got.LoadTime, st.load)
	if got.Occupied == graph.None {
		st.occupied, st.attended = positive(st.occupied), positive(st.attended)
	}
	timed(t, v, what+" occupied", got.Occupied, st.occupied)
	timed(t, v, what+" attended", got.Attended, st.attended)
}

// positive is nil for a time of nothing, which needs no figure.
func positive(r *big.Rat) *big.Rat {
	if r.Sign() == 0 {
		return nil
	}
	return r
}

// timed wants a figure where there is a time, and none where there is none.
func timed(t *testing.T, v *exact.Values, what string, id graph.ID, expected *big.Rat) {
	t.Helper()
	switch {
	case expected != nil && id != graph.None:
		want(t, v, what, id, expected)
	case expected != nil:
		t.Errorf("%s has no figure, want %s", what, expected.FloatString(6))
	case id != graph.None:
		t.Errorf("%s has a figure, want none", what)
	}
}

func none(t *testing.T, what string, ids ...graph.ID) {
	t.Helper()
	for _, id := range ids {
		if id != graph.None {
			t.Errorf("%s: an outside process has a time of ours", what)
		}
	}
}

// TestStartIsWhole: material is bought for whole pieces, and a fraction that is
// exactly whole after a division does not cost one more.
func TestStartIsWhole(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ yields, good, unitsIn, start string }{
		{"0.97", "97", "100", "100"},
		{"0.97", "98", "9800/97", "102"},
		{"0.9 0.9", "81", "100", "100"},
		{"0.7 0.9 0.3", "189", "1000", "1000"}, // 189/0.3/0.9/0.7
		{"0.999", "0", "0", "0"},
		{"0.35", "7", "20", "20"},
	} {
		var ops []bom.Operation
		for i, y := range strings.Fields(c.yields) {
			ops = append(ops, bom.Operation{Number: 10 + i, Kind: bom.Manual, PieceMin: num("1"), Yield: num(y)})
		}
		w := newShop(t, ops, nil)
		v := w.at(c.good)
		want(t, v, c.yields+" units in", w.flow.UnitsIn, rat(c.unitsIn))
		want(t, v, c.yields+" start", w.flow.Start, rat(c.start))
	}
}

// TestSetups walks through one operation by hand: 100 good at 0.9 are 111.1…
// started, which 60 pieces per set-up make two set-ups with two pieces each.
func TestSetups(t *testing.T) {
	t.Parallel()
	op := bom.Operation{Number: 30, Kind: bom.Machining, SetupMin: num("22.4"), SetupPieces: num("2"),
		PiecesPerSetup: num("60"), PieceMin: num("1.5"), LoadMin: num("4"), PiecesPerLoad: num("10"),
		AttendedShare: num("0.25"), Yield: num("0.9"), SetupContainsAllowance: true}
	w := newShop(t, []bom.Operation{op}, num("0.12"))
	v, st := w.at("100"), w.flow.Steps[0]
	want(t, v, "set-ups", st.Setups, rat("2"))
	want(t, v, "units in", st.UnitsIn, rat("1036/9")) // 111 1/9 + 4
	// 22.4 contains 12 %: 20 a set-up. 2 × 20 + 115.1… × 1.5 + 12 loads × 4
	want(t, v, "occupied", st.Occupied, rat("782/3"))
	want(t, v, "attended", st.Attended, rat("1.12").Mul(rat("1.12"), rat("571/6"))) // 40 + 0.25 × 220 2/3
	want(t, v, "start", w.flow.Start, rat("116"))
}

// TestSetupsOnStarted: set-up pieces do not call for a further set-up, and
// exactly filled set-ups do not either.
func TestSetupsOnStarted(t *testing.T) {
	t.Parallel()
	op := bom.Operation{Number: 10, Kind: bom.Machining, SetupPieces: num("3"), PiecesPerSetup: num("50"), Yield: num("0.96")}
	w := newShop(t, []bom.Operation{op}, nil)
	for good, setups := range map[string]string{"0": "0", "1": "1", "48": "1", "49": "2", "96": "2", "144": "3", "145": "4"} {
		want(t, w.at(good), good+" good, set-ups", w.flow.Steps[0].Setups, rat(setups))
	}
}

// TestNothingStarted: no piece, no set-up, no minute.
func TestNothingStarted(t *testing.T) {
	t.Parallel()
	ops := []bom.Operation{
		{Number: 10, Kind: bom.Machining, SetupMin: num("45"), SetupPieces: num("2"), PieceMin: num("3"), Yield: num("0.9")},
		{Number: 20, Kind: bom.Machining, SetupMin: num("15"), SetupPieces: num("1"), PiecesPerSetup: num("40"), LoadMin: num("3")},
	}
	w := newShop(t, ops, num("0.1"))
	v := w.at("0")
	want(t, v, "start", w.flow.Start, rat("0"))
	for _, st := range w.flow.Steps {
		want(t, v, "set-ups", st.Setups, rat("0"))
		want(t, v, "occupied", st.Occupied, rat("0"))
		want(t, v, "attended", st.Attended, rat("0"))
	}
}

// TestAllowance: it falls on attended time only, never on the machine.
func TestAllowance(t *testing.T) {
	t.Parallel()
	op := bom.Operation{Number: 10, Kind: bom.Machining, SetupMin: num("30"), PieceMin: num("2"), AttendedShare: num("0")}
	w := newShop(t, []bom.Operation{op}, num("0.15"))
	v := w.at("100")
	want(t, v, "occupied", w.flow.Steps[0].Occupied, rat("230"))
	want(t, v, "attended", w.flow.Steps[0].Attended, rat("34.5"))
	if w.flow.Steps[0].Setups == graph.None {
		t.Error("a set-up that takes time is not counted")
	}
}

// TestSetupContainsNoAllowance: where the work centre has no allowance, there is
// none in the entered time either.
func TestSetupContainsNoAllowance(t *testing.T) {
	t.Parallel()
	op := bom.Operation{Number: 10, Kind: bom.Machining, SetupMin: num("30"), SetupContainsAllowance: true}
	w := newShop(t, []bom.Operation{op}, nil)
	want(t, w.at("5"), "occupied", w.flow.Steps[0].Occupied, rat("30"))
}

// TestInspection looks at a share of the pieces; the time per piece that is
// shown, and all that follows, is by piece that passes through.
func TestInspection(t *testing.T) {
	t.Parallel()
	op := bom.Operation{Number: 50, Kind: bom.Inspection, PieceMin: num("3"), SampledShare: num("0.2")}
	w := newShop(t, []bom.Operation{op}, nil)
	v := w.at("150")
	want(t, v, "piece time", w.flow.Steps[0].PieceTime, rat("0.6"))
	want(t, v, "occupied", w.flow.Steps[0].Occupied, rat("90"))
	checked, ok := w.g.Find("op/50/checked-piece-time")
	if !ok {
		t.Fatal("the time entered has no figure of its own")
	}
	want(t, v, "time entered", checked, rat("3"))
}

// TestCycle: the cycle shown spreads the load time over a full load.
func TestCycle(t *testing.T) {
	t.Parallel()
	op := bom.Operation{Number: 20, Kind: bom.Machining, CuttingMin: num("4.8"), PositioningMin: num("0.6"), WornEdgeMin: num("0.12"),
		ToolChangeMin: num("0.9"), LoadHandlingMin: num("1.6"), ProbingMin: num("0.4"), PiecesPerLoad: num("4")}
	w := newShop(t, []bom.Operation{op}, nil)
	cycle, ok := w.g.Find("op/20/cycle-time")
	if !ok {
		t.Fatal("no cycle time")
	}
	want(t, w.at("9"), "cycle", cycle, rat("6.245"))                       // 5.52 + 2.9/4
	want(t, w.at("9"), "occupied", w.flow.Steps[0].Occupied, rat("58.38")) // 9 × 5.52 + 3 × 2.9
}

// TestConsumed finds the units in of the operation that takes a child.
func TestConsumed(t *testing.T) {
	t.Parallel()
	ops := []bom.Operation{
		{Number: 10, Kind: bom.Manual, PieceMin: num("1"), Yield: num("0.5")},
		{Number: 20, Kind: bom.Manual, PieceMin: num("1"), Yield: num("0.8")},
		{Number: 30, Kind: bom.Manual, PieceMin: num("1")},
	}
	w := newShop(t, ops, nil)
	v := w.at("100")
	for operation, pieces := range map[int]string{0: "250", 10: "250", 20: "125", 30: "100"} {
		want(t, v, fmt.Sprint("consumed at ", operation), w.flow.Consumed(operation), rat(pieces))
	}
	bare := newShop(t, nil, nil)
	want(t, bare.at("100"), "consumed without a routing", bare.flow.Consumed(0), rat("100"))
}
