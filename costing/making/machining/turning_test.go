package machining_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/rates"
)

// lathe cuts 1 mm a pass at 100 m/min and 0.2 mm, in a material of 2,000 N/mm².
func lathe() shop {
	s := milling(bom.Tool{ID: "T", Name: "turning tool", Kind: bom.TurningTool, NoseRadiusMM: ft.Num("0.4")},
		bom.Tool{ID: "B", Name: "boring bar", Kind: bom.BoringTool, DiameterMM: ft.Num("20"), NoseRadiusMM: ft.Num("0.4")})
	s.mat.Kc11NMM2, s.mat.MC = ft.Num("2000"), ft.Num("0")
	for _, kind := range []bom.ToolKind{bom.TurningTool, bom.BoringTool} {
		s.data = append(s.data, rates.CuttingRow{ID: bom.ID(kind), Material: "M", Tool: kind, SpeedMMin: ft.Num("100"), FeedMM: ft.Num("0.2"), DepthMM: ft.Num("1"), From: "2026-01-01", Source: "test"})
	}
	return s
}

func turned(from, to string) bom.Feature {
	return bom.Feature{ID: "F", Name: "length", Kind: bom.Turn, LengthMM: ft.Num("98"), DiameterMM: ft.Num(from), ToDiameterMM: ft.Num(to)}
}

// TestPassesTurnAtTheirOwnSpeed: 60 to 52 mm over 100 mm in four passes, at 60, 58,
// 56 and 54 mm: t = 100·π·(60 + 58 + 56 + 54)/(0.2 · 100,000) = 3.581416 min, and not
// four times that of 60 mm. At 560 1/min at most the last two turn at 560. Source
// `machining-time-lesson`: n by the diameter before the cut.
func TestPassesTurnAtTheirOwnSpeed(t *testing.T) {
	t.Parallel()
	s := lathe()
	b := s.cut(t, turned("60", "52"))
	b.want("op/feature/F/with/T/levels", "4")
	b.want("op/feature/F/cutting", "3.581416")
	b.want("op/feature/F/with/T/spindle-speed", "530.516")
	s.centre.SpindleMaxPerMin = ft.Num("560")
	b = s.cut(t, turned("60", "52"))
	b.want("op/feature/F/cutting", "3.639254") // 100·π·118/20,000 + 2·100/(0.2·560)
	b.want("op/feature/F/spindle-free", "0")   // 54 mm ask for 589 1/min
	s.centre.SpindleMaxPerMin = ft.Num("590")
	s.cut(t, turned("60", "52")).want("op/feature/F/spindle-free", "1")
}

// TestFinishIsItsOwnPass: a roughness takes one finishing pass of 0.5 mm at its feed
// after the roughing passes, a smaller depth that pass alone, nothing asked none.
func TestFinishIsItsOwnPass(t *testing.T) {
	t.Parallel()
	s := lathe()
	fine := turned("60", "52")
	fine.RaUM = ft.Num("1.6")
	b := s.cut(t, fine)
	b.want("op/feature/F/with/T/levels", "4") // 3.5 mm
	b.want("op/feature/F/with/T/feed-finishing", "0.099883")
	b.want("op/feature/F/with/T/rough-time", "3.581416")
	b.want("op/feature/F/with/T/finish-time", "1.666995") // 100·π·53/(0.099883 · 100,000)
	thin := turned("53", "52")
	thin.RaUM = ft.Num("1.6")
	b = s.cut(t, thin)
	b.want("op/feature/F/with/T/levels", "0")
	b.want("op/feature/F/with/T/rough-time", "0")
	left := turned("60", "52")
	left.RaUM, left.AllowanceMM = ft.Num("1.6"), ft.Num("0.2")
	s.cut(t, left).want("op/feature/F/with/T/rough-depth", "3.8")
	s.cut(t, left).want("op/feature/F/removed", "68964.2") // π/4·(60² − 52²)·98: nothing is left
	if b = s.cut(t, turned("60", "52")); b.Has("op/feature/F/with/T/finish-time") {
		t.Error("a finishing pass, and nothing is asked")
	}
	face := bom.Feature{ID: "F", Name: "face", Kind: bom.FaceTurn, DiameterMM: ft.Num("60"), DepthMM: ft.Num("2"), RaUM: ft.Num("1.6")}
	b = s.cut(t, face)
	b.want("op/feature/F/with/T/levels", "2")
	b.want("op/feature/F/with/T/passes", "3")
}

// TestSlenderBar: a bar of 16 mm (0.8 of the smallest hole it enters) bores 64 mm deep
// at the depth of the data; at 80 mm, five diameters, at (4/5)³ of it, and a note says so.
func TestSlenderBar(t *testing.T) {
	t.Parallel()
	bored := func(depth string) bom.Feature {
		return bom.Feature{ID: "F", Name: "bore", Kind: bom.Bore, DepthMM: ft.Num(depth), DiameterMM: ft.Num("25"), ToDiameterMM: ft.Num("31")}
	}
	s := lathe()
	b := s.cut(t, bored("64"))
	b.want("op/feature/F/with/B/levels", "3")
	if b.noted("four diameters") {
		t.Error("a bar of four diameters is told of")
	}
	b = s.cut(t, bored("80"))
	b.want("op/feature/F/with/B/overhang-depth", "0.512")
	b.want("op/feature/F/with/B/levels", "6")
	if !b.noted("four diameters") {
		t.Error("a slender bar is not told of")
	}
	s.tools[1].BarDiameterMM = ft.Num("20")
	s.cut(t, bored("80")).want("op/feature/F/with/B/levels", "3")
	s.tools[0].BarDiameterMM = ft.Num("20")
	if faults := s.tools[0].Faults(); len(faults) != 1 || !strings.Contains(faults[0].Message, "bar_diameter_mm") {
		t.Errorf("a turning tool with a bar: %v", faults)
	}
}

// lathework is a case of turning or boring in plain numbers.
type lathework struct {
	bore                               bool
	large, small, length, most, finish float64
	speed, feed, fine, spindle, power  float64
}

// loop cuts pass after pass and gives the minutes; it wants no pass to take more
// than the power. The largest pass sets the surface speed that the power drives.
func (w lathework) loop(t *testing.T) (minutes float64) {
	wall := (w.large - w.small) / 2
	finish := 0.0
	if w.finish > 0 {
		finish = min(w.finish, wall, w.most)
	}
	deepest := max(min(w.most, wall-finish), finish)
	power := func(d, depth, n float64) float64 { return math.Pi * (d - depth) * depth * w.feed * n * 2000 / 6e7 }
	n := min(w.speed*1000/math.Pi/w.large, w.spindle)
	n = min(n, n*w.power/power(w.large, deepest, n))
	speed := n * w.large
	pass := func(d, depth, feed float64) {
		turns := min(speed/d, w.spindle)
		minutes += w.length / turns / feed
		if used := power(d, depth, turns); used > w.power*(1+1e-9) {
			t.Errorf("%+v: the pass at %g takes %g kW", w, d, used)
		}
	}
	first := w.large
	if w.bore {
		first -= 2 * finish
	}
	for left, d := wall-finish, first; left > 1e-9; left, d = left-w.most, d-2*w.most {
		pass(d, min(w.most, left), w.feed)
	}
	switch {
	case finish > 0 && w.bore:
		pass(w.large, finish, w.fine)
	case finish > 0:
		pass(w.small+2*finish, finish, w.fine)
	}
	return minutes
}

// TestLatheAgainstALoop holds the closed form of passes to a loop over them, in
// random cases: turning and boring, spindle and power at their limits or free, with a
// finish and without.
func TestLatheAgainstALoop(t *testing.T) {
	t.Parallel()
	draw := rand.New(rand.NewPCG(12, 1))
	for i := range 150 {
		f := turned(rising(draw, 1, 4000, 12_000)[0], rising(draw, 1, 500, 3900)[0])
		f.LengthMM, f.DepthOfCutMM, f.ClearanceMM = ft.Num("100"), ft.Num(rising(draw, 1, 20, 400)[0]), ft.Num("0")
		s, tool := lathe(), "T"
		if i%3 == 0 {
			f.Kind, f.DepthMM, f.LengthMM, tool = bom.Bore, ft.Num("100"), nil, "B"
			f.DiameterMM, f.ToDiameterMM = ft.Num(rising(draw, 1, 2000, 3900)[0]), f.DiameterMM
		}
		s.centre.SpindleMaxPerMin, s.centre.SpindlePowerKW = ft.Num(rising(draw, 1, 10_000, 400_000)[0]), ft.Num(rising(draw, 1, 10, 600)[0])
		w := lathework{bore: tool == "B", length: 100, most: f.DepthOfCutMM.Likely.InexactFloat64(), speed: 100, feed: 0.2,
			spindle: s.centre.SpindleMaxPerMin.Likely.InexactFloat64(), power: s.centre.SpindlePowerKW.Likely.InexactFloat64()}
		from, to := f.DiameterMM.Likely.InexactFloat64(), f.ToDiameterMM.Likely.InexactFloat64()
		w.large, w.small = max(from, to), min(from, to)
		if i%2 == 0 {
			f.RzUM = ft.Num("4")
			w.finish, w.fine = 0.5, math.Sqrt(8*0.4*0.004/2)
		}
		got, want := s.cut(t, f).figure("op/feature/F/with/"+tool+"/path-time").InexactFloat64(), w.loop(t)
		if math.Abs(got-want) > 1e-9*want {
			t.Errorf("%+v: %.12g min, the loop takes %.12g", w, got, want)
		}
	}
}

// TestMoreToTurn: a thicker bar turned to the same diameter, and a smaller hole bored
// to the same one, never take less.
func TestMoreToTurn(t *testing.T) {
	t.Parallel()
	draw := rand.New(rand.NewPCG(13, 1))
	for range 20 {
		s := lathe()
		s.centre.SpindleMaxPerMin, s.centre.SpindlePowerKW = ft.Num(rising(draw, 1, 20_000, 200_000)[0]), ft.Num(rising(draw, 1, 20, 400)[0])
		var bars, bores []built
		for _, d := range rising(draw, 8, 3100, 6000) {
			f := turned(d, "30")
			f.RaUM = ft.Num("1.6")
			bars = append([]built{s.cut(t, f)}, bars...)
		}
		for _, d := range rising(draw, 8, 2000, 5900) {
			bores = append(bores, s.cut(t, bom.Feature{ID: "F", Name: "bore", Kind: bom.Bore, DepthMM: ft.Num("60"), DiameterMM: ft.Num(d), ToDiameterMM: ft.Num("60")}))
		}
		neverMore(t, "thinner bars", "op/feature/F/with/T/cutting", bars)
		neverMore(t, "larger holes", "op/feature/F/with/B/cutting", bores)
	}
}

// TestPiecesOfOneBarTakeAllTheirTools: a bar of fifty pieces is one load to handle, but
// each piece is turned by all its tools. A mill takes its tools once for a load.
func TestPiecesOfOneBarTakeAllTheirTools(t *testing.T) {
	t.Parallel()
	s := lathe()
	s.centre.ToolChangeS, s.op.PiecesPerLoad = ft.Num("6"), ft.Num("50")
	s.cut(t, turned("60", "52")).want("op/tool-changes", "5") // min: 50 × 6 s
	mill := moving()
	mill.centre.ToolChangeS, mill.op.PiecesPerLoad = ft.Num("6"), ft.Num("50")
	mill.cut(t, holes("4", "10")).seconds("op/tool-changes", "6")
}

// TestSurfaceOfTurnedFeatures: a length turned from D to d loses the wall π·(D − d)·L,
// its ends staying what they are together; a face turned off by t loses π·D·t of the
// side; a blind bore gains the wall, a through bore less the two rings π/4·(D² − d²) of
// its openings. Closed forms of the cylinder.
func TestSurfaceOfTurnedFeatures(t *testing.T) {
	t.Parallel()
	bore := bom.Feature{ID: "F", Name: "bore", Kind: bom.Bore, DepthMM: ft.Num("40"), DiameterMM: ft.Num("25"), ToDiameterMM: ft.Num("31")}
	through := bore
	through.Through = true
	cone := bom.Feature{ID: "F", Name: "cone", Kind: bom.TurnProfile, DiameterMM: ft.Num("60"), ToDiameterMM: ft.Num("52"), LengthMM: ft.Num("3")}
	lathe().cut(t, cone).want("op/feature/F/wall", "4")
	for _, c := range []struct {
		f    bom.Feature
		want float64
	}{
		{turned("60", "52"), -math.Pi * 8 * 98},
		{bom.Feature{ID: "F", Name: "face", Kind: bom.FaceTurn, DiameterMM: ft.Num("60"), DepthMM: ft.Num("2")}, -math.Pi * 60 * 2},
		{bore, math.Pi * 6 * 40},
		{through, math.Pi*6*40 - math.Pi/2*(31*31-25*25)},
		{cone, math.Pi/2*(60+52)*math.Hypot(3, 4) - math.Pi*60*3 - math.Pi/4*(60*60-52*52)},
	} {
		got, _ := lathe().cut(t, c.f).figure("op/feature/F/area").Float64()
		if math.Abs(got-c.want) > 1e-6*math.Abs(c.want) {
			t.Errorf("%s, through %v: surface gained %v mm², want %v", c.f.Kind, c.f.Through, got, c.want)
		}
	}
}
