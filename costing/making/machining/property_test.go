package machining_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/rates"
)

// rising draws n figures in rising order, in hundredths from low to high.
func rising(draw *rand.Rand, n, low, high int) []string {
	out := make([]string, n)
	at := low
	for i := range out {
		at += draw.IntN(max(1, (high-at)/(n-i))) + 1
		out[i] = hundredths(at).String()
	}
	return out
}

// neverMore wants the figures of the builds not to rise, but for the last of 34 digits,
// in which a speed held by the power is rounded.
func neverMore(t *testing.T, what, key string, list []built) {
	t.Helper()
	for i := 1; i < len(list); i++ {
		before, after := list[i-1].figure(key), list[i].figure(key)
		if after.Sub(before).GreaterThan(decimal.New(1, -28)) {
			t.Errorf("%s: %s rises from %s to %s at step %d", what, key, before, after, i)
		}
	}
}

func copper(tools ...bom.Tool) shop {
	s := milling(tools...)
	s.mat = rates.Material{ID: "M", Name: "copper", CuttingAs: "copper"}
	s.centre.SpindleMaxPerMin, s.centre.SpindlePowerKW, s.centre.RapidMMMin, s.centre.ToolChangeS = ft.Num("12000"), ft.Num("7.5"), ft.Num("15000"), ft.Num("6")
	return s
}

// TestFinerNeverCostsLess: a smaller Rz never costs less, whatever tools there are.
func TestFinerNeverCostsLess(t *testing.T) {
	t.Parallel()
	draw := rand.New(rand.NewPCG(1, 1))
	for range 40 {
		fly := bom.Tool{ID: "FLY", Name: "fly cutter", Kind: bom.FlyCutter, DiameterMM: ft.Num("60"), NoseRadiusMM: ft.Num(rising(draw, 1, 20, 200)[0]),
			LifeMin: ft.Num("90"), EdgeCost: ft.Num("12"), EdgeChangeMin: ft.Num("2")}
		ball := bom.Tool{ID: "BALL", Name: "ball mill", Kind: bom.BallMill, DiameterMM: ft.Num("6"), Teeth: ft.Num("2"), LifeMin: ft.Num("40"), EdgeCost: ft.Num("20")}
		mill := endMill("MILL", "20", "4")
		mill.NoseRadiusMM = ft.Num("0.5")
		s := copper(fly, ball, mill)
		var list []built
		for _, rz := range rising(draw, 6, 5, 3000) {
			list = append(list, s.cut(t, bom.Feature{ID: "F", Name: "face", Kind: bom.FinishFace, LengthMM: ft.Num("62"), WidthMM: ft.Num("60"), DepthMM: ft.Num("0.1"), RzUM: ft.Num(rz)}))
		}
		neverMore(t, "coarser roughness", "op/feature/F/with/FLY/cost", list)
		neverMore(t, "coarser roughness", "op/feature/F/with/BALL/cost", list)
		neverMore(t, "coarser roughness", "op/feature/F/with/MILL/cost", list)
		neverMore(t, "coarser roughness", "op/feature/F/cost", list)
	}
}

// TestFinsAndSlots: at one slot width thinner fins never take less time, and
// neither do deeper slots, by saw or by mill.
func TestFinsAndSlots(t *testing.T) {
	t.Parallel()
	draw := rand.New(rand.NewPCG(2, 1))
	saw := bom.Tool{ID: "SAW", Name: "saw", Kind: bom.SlittingSaw, DiameterMM: ft.Num("80"), WidthMM: ft.Num("1"), Teeth: ft.Num("64")}
	for range 20 {
		slot := rising(draw, 1, 100, 300)[0]
		for _, tool := range []bom.Tool{saw, endMill("EM", "1", "2")} {
			s := copper(tool)
			var byFin, byDepth []built
			for _, fin := range rising(draw, 6, 20, 500) {
				f := array("60", slot, fin, draw.IntN(2) == 0)
				f.OpenEdges, f.SpeedMMin, f.FeedMM = false, nil, nil
				byFin = append(byFin, s.cut(t, f))
			}
			for _, depth := range rising(draw, 6, 50, 1500) {
				f := array("60", slot, "1", true)
				f.DepthMM, f.SpeedMMin, f.FeedMM = ft.Num(depth), nil, nil
				byDepth = append([]built{s.cut(t, f)}, byDepth...)
			}
			what := fmt.Sprintf("slots of %s by %s", slot, tool.ID)
			neverMore(t, what+", thicker fins", "op/feature/FINS/cutting", byFin)
			neverMore(t, what+", shallower", "op/feature/FINS/cutting", byDepth)
			neverMore(t, what+", shallower", "op/feature/FINS/positioning", byDepth)
		}
	}
}

// TestFasterSpindle: a spindle that may turn faster never takes longer, with one
// tool and whatever its power is.
func TestFasterSpindle(t *testing.T) {
	t.Parallel()
	draw := rand.New(rand.NewPCG(3, 1))
	for range 30 {
		s := copper(endMill("T", rising(draw, 1, 200, 1600)[0], "3"), bom.Tool{ID: "TT", Name: "turning tool", Kind: bom.TurningTool, NoseRadiusMM: ft.Num("0.4")})
		s.centre.SpindlePowerKW, s.centre.SpindleTorqueNM = ft.Num(rising(draw, 1, 1, 300)[0]), ft.Num(rising(draw, 1, 1, 500)[0])
		features := []bom.Feature{plainPocket(),
			{ID: "FACE", Name: "face", Kind: bom.FaceTurn, DiameterMM: ft.Num("60"), DepthMM: ft.Num("1.7")},
			{ID: "TURN", Name: "length", Kind: bom.Turn, LengthMM: ft.Num("40"), DiameterMM: ft.Num("60"), ToDiameterMM: ft.Num("52"), RaUM: ft.Num("1.6")}}
		var list []built
		for _, n := range rising(draw, 6, 10_000, 3_000_000) {
			s.centre.SpindleMaxPerMin = ft.Num(n)
			list = append(list, s.cut(t, features...))
		}
		for _, id := range []string{"F", "FACE", "TURN"} {
			neverMore(t, "faster spindle", "op/feature/"+id+"/cutting", list)
		}
	}
}

// TestRemovalTakesTheVolume: rows, levels and slots that fill their shape take at
// least the time of their volume at the removal rate.
func TestRemovalTakesTheVolume(t *testing.T) {
	t.Parallel()
	draw := rand.New(rand.NewPCG(4, 1))
	for range 200 {
		sides := rising(draw, 2, 2000, 9000)
		f := plainPocket()
		f.LengthMM, f.WidthMM, f.DepthMM = ft.Num(sides[1]), ft.Num(sides[0]), ft.Num(rising(draw, 1, 100, 2000)[0])
		b := copper(endMill("T", "10", "3")).cut(t, f)
		least, time := b.figure("op/feature/F/least-time"), b.figure("op/feature/F/with/T/path-time")
		if time.Mul(ft.Dec("1.000001")).LessThan(least) {
			t.Errorf("pocket %s × %s × %s: %s min, the volume alone takes %s", sides[1], sides[0], f.DepthMM.Likely, time, least)
		}
	}
}
