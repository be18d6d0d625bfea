package machining_test

import (
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
	"kerfbook/costing/graph/exact"
)

// fit is an array whose slots fit without rest, or nearly so; hundredths of mm.
type fit struct{ width, slot, fin int }

func fits(draw *rand.Rand, open bool) []fit {
	out := make([]fit, 0, 2000)
	for len(out) < cap(out) {
		f := fit{slot: draw.IntN(400) + 1, fin: draw.IntN(400) + 1}
		n := draw.IntN(60) + 1
		f.width = n*(f.slot+f.fin) + f.fin
		if open {
			f.width -= 2 * f.fin
		}
		if draw.IntN(4) == 0 {
			f.width += draw.IntN(f.slot + f.fin)
		}
		if f.width >= f.slot {
			out = append(out, f)
		}
	}
	return out
}

// TestExactFins generates arrays whose slots fit without rest, and holds their
// number to a loop that lays slot after slot in fractions. Plain binary division
// loses a slot in many of them; both evaluators keep it.
func TestExactFins(t *testing.T) {
	t.Parallel()
	for _, open := range []bool{false, true} {
		b := milling(bom.Tool{ID: "SAW", Name: "saw", Kind: bom.SlittingSaw, DiameterMM: ft.Num("80"), WidthMM: ft.Num("0.01"), Teeth: ft.Num("64")}).
			cut(t, array("40", "1.5", "1", open))
		ids := []graph.ID{b.ID("op/feature/FINS/width"), b.ID("op/feature/FINS/slot-width"), b.ID("op/feature/FINS/fin-width"), b.ID("op/feature/FINS/slots")}
		list := fits(rand.New(rand.NewPCG(36, 1)), open)
		inColumns := columnSlots(t, b, ids, list)
		e, lost := exact.New(b.Graph), 0
		for i, f := range list {
			want := laidSlots(f, open)
			if plainSlots(f, open) != want {
				lost++
			}
			v, err := e.Evaluate(exact.Pins{ids[0]: hundredths(f.width), ids[1]: hundredths(f.slot), ids[2]: hundredths(f.fin)})
			if err != nil {
				t.Fatal(err)
			}
			if got, err := v.Get(ids[3]); err != nil || got.IntPart() != want || inColumns[i] != float64(want) {
				t.Errorf("slots of %d and fins of %d in %d, open %v: exact %s, columns %g, want %d (%v)", f.slot, f.fin, f.width, open, got, inColumns[i], want, err)
			}
		}
		if lost < 20 {
			t.Errorf("plain binary division loses a slot in %d arrays only; the test is not sharp", lost)
		}
	}
}

// columnSlots computes the slots of all arrays at once.
func columnSlots(t *testing.T, b built, ids []graph.ID, list []fit) []float64 {
	t.Helper()
	plan, err := column.New(b.Graph, column.Options{Vary: ids[:3], Outputs: ids[3:]})
	if err != nil {
		t.Fatal(err)
	}
	var out []float64
	c := plan.Columns()
	for from := 0; from < len(list); from += column.Block {
		block := list[from:min(from+column.Block, len(list))]
		for i, f := range block {
			c.In(0)[i], c.In(1)[i], c.In(2)[i] = float64(f.width)/100, float64(f.slot)/100, float64(f.fin)/100
		}
		if err := c.Run(len(block)); err != nil {
			t.Fatal(err)
		}
		out = append(out, c.Out(0)[:len(block)]...)
	}
	return out
}

func array(width, slot, fin string, open bool) bom.Feature {
	return bom.Feature{ID: "FINS", Name: "fins", Kind: bom.SlotArray, LengthMM: ft.Num("60"), WidthMM: ft.Num(width), DepthMM: ft.Num("12"),
		SlotWidthMM: ft.Num(slot), FinWidthMM: ft.Num(fin), OpenEdges: open, SpeedMMin: ft.Num("120"), FeedMM: ft.Num("0.01")}
}

func hundredths(n int) decimal.Decimal { return decimal.New(int64(n), -2) }

// laidSlots lays slot after slot into a width, each with a fin before it, while a
// fin remains at the end; with open edges the first slot has no fin before it.
func laidSlots(a fit, open bool) int64 {
	w, s, f := big.NewRat(int64(a.width), 100), big.NewRat(int64(a.slot), 100), big.NewRat(int64(a.fin), 100)
	at, n := new(big.Rat), int64(0)
	for {
		if !open || n > 0 {
			at.Add(at, f)
		}
		at.Add(at, s)
		end := new(big.Rat).Set(at)
		if !open {
			end.Add(end, f)
		}
		if end.Cmp(w) > 0 {
			return n
		}
		n++
	}
}

// plainSlots is what plain binary numbers make of the formula.
func plainSlots(a fit, open bool) int64 {
	w, s, f := float64(a.width)/100, float64(a.slot)/100, float64(a.fin)/100
	if open {
		return int64((w + f) / (s + f))
	}
	return int64((w - f) / (s + f))
}
