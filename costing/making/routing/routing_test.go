package routing_test

import (
	"fmt"
	"math/big"
	"strings"
	"testing"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/making/routing"
)

// TestRandomRoutings compares every figure of an operation with a walk through
// the routing in fractions, which counts set-ups and loads one by one.
func TestRandomRoutings(t *testing.T) {
	t.Parallel()
	for seed := range uint64(300) {
		d := draw{ft.Drawn(seed, 7)}
		ops, allowance := d.routing(), d.Maybe(30, 2)
		with := ft.Plus(ft.Rat("1"), ft.Or(allowance, "0"))
		if seed%2 == 1 { // of shift time
			with = ft.Over(ft.Rat("1"), ft.Plus(ft.Rat("1"), ft.Times(ft.Rat("-1"), ft.Or(allowance, "0"))))
		}
		w := shopAt(t, ops, allowance, seed%2 == 1)
		for _, good := range []string{"0", "1", "48", "300"} {
			v := w.at(good)
			for i, st := range ft.Walk(ops, ft.Rat(good), with) {
				w.compare(v, fmt.Sprintf("seed %d, %s good, operation %d", seed, good, ops[i].Number), w.flow.Steps[i], st)
			}
		}
	}
}

func (w *shop) compare(v *exact.Values, what string, got routing.Step, st ft.Stage) {
	w.T.Helper()
	w.Want(v, what+" started", got.Started, st.Started)
	w.Want(v, what+" units in", got.UnitsIn, st.UnitsIn)
	if got.Setups != graph.None {
		w.Want(v, what+" set-ups", got.Setups, st.Setups)
	}
	if got.Operation.Kind == bom.Outside { // which takes no time of ours
		st.Piece, st.Load, st.Occupied, st.Attended = nil, nil, nil, nil
	} else if st.Piece == nil { // it is missing, and counts as 0
		st.Piece = new(big.Rat)
	}
	w.timed(v, what+" piece time", got.PieceTime, st.Piece)
	w.timed(v, what+" load time", got.LoadTime, st.Load)
	w.timed(v, what+" occupied", got.Occupied, st.Occupied)
	w.timed(v, what+" attended", got.Attended, st.Attended)
}

// timed wants a figure where there is a time, and none where there is none.
func (w *shop) timed(v *exact.Values, what string, id graph.ID, expected *big.Rat) {
	w.T.Helper()
	switch {
	case expected != nil && id != graph.None:
		w.Want(v, what, id, expected)
	case expected != nil:
		w.T.Errorf("%s has no figure, want %s", what, expected.FloatString(6))
	case id != graph.None:
		w.T.Errorf("%s has a figure, want none", what)
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
			ops = append(ops, bom.Operation{Number: 10 + i, Kind: bom.Manual, PieceMin: ft.Num("1"), Yield: ft.Num(y)})
		}
		w := newShop(t, ops, nil)
		v := w.at(c.good)
		w.Want(v, c.yields+" units in", w.flow.UnitsIn, ft.Rat(c.unitsIn))
		w.Want(v, c.yields+" start", w.flow.Start, ft.Rat(c.start))
	}
}

// TestSetups walks through one operation by hand: 100 good at 0.9 are 111.1…
// started, which 60 pieces per set-up make two set-ups with two pieces each.
func TestSetups(t *testing.T) {
	t.Parallel()
	op := bom.Operation{Number: 30, Kind: bom.Machining, SetupMin: ft.Num("22.4"), SetupPieces: ft.Num("2"),
		PiecesPerSetup: ft.Num("60"), PieceMin: ft.Num("1.5"), LoadMin: ft.Num("4"), PiecesPerLoad: ft.Num("10"),
		AttendedShare: ft.Num("0.25"), Yield: ft.Num("0.9"), SetupContainsAllowance: true}
	w := newShop(t, []bom.Operation{op}, ft.Num("0.12"))
	v, st := w.at("100"), w.flow.Steps[0]
	w.Want(v, "set-ups", st.Setups, ft.Rat("2"))
	w.Want(v, "units in", st.UnitsIn, ft.Rat("1036/9")) // 111 1/9 + 4
	// 22.4 contains 12 %: 20 a set-up. 2 × 20 + 115.1… × 1.5 + 12 loads × 4
	w.Want(v, "occupied", st.Occupied, ft.Rat("782/3"))
	w.Want(v, "attended", st.Attended, ft.Rat("1.12").Mul(ft.Rat("1.12"), ft.Rat("571/6"))) // 40 + 0.25 × 220 2/3
	w.Want(v, "start", w.flow.Start, ft.Rat("116"))
}

// TestSetupsOnStarted: set-up pieces do not call for a further set-up, and
// exactly filled set-ups do not either.
func TestSetupsOnStarted(t *testing.T) {
	t.Parallel()
	op := bom.Operation{Number: 10, Kind: bom.Machining, SetupPieces: ft.Num("3"), PiecesPerSetup: ft.Num("50"), Yield: ft.Num("0.96")}
	w := newShop(t, []bom.Operation{op}, nil)
	for good, setups := range map[string]string{"0": "0", "1": "1", "48": "1", "49": "2", "96": "2", "144": "3", "145": "4"} {
		w.Want(w.at(good), good+" good, set-ups", w.flow.Steps[0].Setups, ft.Rat(setups))
	}
}

// TestNothingStarted: no piece, no set-up, no minute.
func TestNothingStarted(t *testing.T) {
	t.Parallel()
	ops := []bom.Operation{
		{Number: 10, Kind: bom.Machining, SetupMin: ft.Num("45"), SetupPieces: ft.Num("2"), PieceMin: ft.Num("3"), Yield: ft.Num("0.9")},
		{Number: 20, Kind: bom.Machining, SetupMin: ft.Num("15"), SetupPieces: ft.Num("1"), PiecesPerSetup: ft.Num("40"), LoadMin: ft.Num("3")},
	}
	w := newShop(t, ops, ft.Num("0.1"))
	v := w.at("0")
	w.Want(v, "start", w.flow.Start, ft.Rat("0"))
	for _, st := range w.flow.Steps {
		w.Want(v, "set-ups", st.Setups, ft.Rat("0"))
		w.Want(v, "occupied", st.Occupied, ft.Rat("0"))
		w.Want(v, "attended", st.Attended, ft.Rat("0"))
	}
}

// TestAllowance: it falls on attended time only, never on the machine.
func TestAllowance(t *testing.T) {
	t.Parallel()
	op := bom.Operation{Number: 10, Kind: bom.Machining, SetupMin: ft.Num("30"), PieceMin: ft.Num("2"), AttendedShare: ft.Num("0")}
	w := newShop(t, []bom.Operation{op}, ft.Num("0.15"))
	v := w.at("100")
	w.Want(v, "occupied", w.flow.Steps[0].Occupied, ft.Rat("230"))
	w.Want(v, "attended", w.flow.Steps[0].Attended, ft.Rat("34.5"))
	if w.flow.Steps[0].Setups == graph.None {
		t.Error("a set-up that takes time is not counted")
	}
}

// TestSetupContainsNoAllowance: where the work centre has no allowance, there is
// none in the entered time either.
func TestSetupContainsNoAllowance(t *testing.T) {
	t.Parallel()
	op := bom.Operation{Number: 10, Kind: bom.Machining, SetupMin: ft.Num("30"), SetupContainsAllowance: true}
	w := newShop(t, []bom.Operation{op}, nil)
	w.Want(w.at("5"), "occupied", w.flow.Steps[0].Occupied, ft.Rat("30"))
}

// TestInspection looks at a share of the pieces; the time per piece that is
// shown, and all that follows, is by piece that passes through.
func TestInspection(t *testing.T) {
	t.Parallel()
	op := bom.Operation{Number: 50, Kind: bom.Inspection, PieceMin: ft.Num("3"), SampledShare: ft.Num("0.2")}
	w := newShop(t, []bom.Operation{op}, nil)
	v := w.at("150")
	w.Want(v, "piece time", w.flow.Steps[0].PieceTime, ft.Rat("0.6"))
	w.Want(v, "occupied", w.flow.Steps[0].Occupied, ft.Rat("90"))
	w.Want(v, "time entered", w.ID("op/50/checked-piece-time"), ft.Rat("3"))
}

// TestCycle: the cycle shown spreads the load time over a full load.
func TestCycle(t *testing.T) {
	t.Parallel()
	op := bom.Operation{Number: 20, Kind: bom.Machining, CuttingMin: ft.Num("4.8"), PositioningMin: ft.Num("0.6"), WornEdgeMin: ft.Num("0.12"),
		ToolChangeMin: ft.Num("0.9"), LoadHandlingMin: ft.Num("1.6"), ProbingMin: ft.Num("0.4"), PiecesPerLoad: ft.Num("4")}
	w := newShop(t, []bom.Operation{op}, nil)
	w.Want(w.at("9"), "cycle", w.ID("op/20/cycle-time"), ft.Rat("6.245"))    // 5.52 + 2.9/4
	w.Want(w.at("9"), "occupied", w.flow.Steps[0].Occupied, ft.Rat("58.38")) // 9 × 5.52 + 3 × 2.9
}

// TestConsumed finds the units in of the operation that takes a child.
func TestConsumed(t *testing.T) {
	t.Parallel()
	ops := []bom.Operation{
		{Number: 10, Kind: bom.Manual, PieceMin: ft.Num("1"), Yield: ft.Num("0.5")},
		{Number: 20, Kind: bom.Manual, PieceMin: ft.Num("1"), Yield: ft.Num("0.8")},
		{Number: 30, Kind: bom.Manual, PieceMin: ft.Num("1")},
	}
	w := newShop(t, ops, nil)
	v := w.at("100")
	for operation, pieces := range map[int]string{0: "250", 10: "250", 20: "125", 30: "100"} {
		w.Want(v, fmt.Sprint("consumed at ", operation), w.flow.Consumed(operation), ft.Rat(pieces))
	}
	bare := newShop(t, nil, nil)
	bare.Want(bare.at("100"), "consumed without a routing", bare.flow.Consumed(0), ft.Rat("100"))
}
