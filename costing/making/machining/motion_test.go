package machining_test

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/rates"
)

// moving is a machining centre of 36 m/min and 5 m/s²: v²/a = 72 mm, v/a = 0.12 s.
func moving() shop {
	s := copper(bom.Tool{ID: "DR", Name: "drill", Kind: bom.DrillTool, DiameterMM: ft.Num("5")})
	s.centre.RapidMMMin, s.centre.AccelerationMS2 = ft.Num("36000"), ft.Num("5")
	return s
}

func holes(count, spacing string) bom.Feature {
	return bom.Feature{ID: "F", Name: "holes", Kind: bom.Drill, Count: ft.Num(count), SpacingMM: ft.Num(spacing), DiameterMM: ft.Num("5"), DepthMM: ft.Num("8")}
}

// seconds compares a time in minutes with seconds, to a millionth.
func (b built) seconds(key, text string) {
	b.T.Helper()
	got, want := b.figure(key).Mul(decimal.NewFromInt(60)), ft.Dec(text)
	if got.Sub(want).Abs().GreaterThan(decimal.New(1, -6)) {
		b.T.Errorf("%s is %s s, want %s", key, got, text)
	}
}

// TestHolesTakeTheirWays: 100 holes 10 mm apart. Between two, 2·√(0.01/5) =
// 0.0894427 s; each comes to rest for 0.1 s; the first is 100 mm away: 100/600 +
// 0.12 = 0.2866667 s; and back out of each hole.
func TestHolesTakeTheirWays(t *testing.T) {
	t.Parallel()
	s := moving()
	s.centre.SettlingS, s.centre.ApproachMM = ft.Num("0.1"), ft.Num("100")
	b := s.cut(t, holes("100", "10"))
	b.seconds("op/feature/F/spacing-time", "0.0894427")
	b.seconds("work-centre/MILL/approach-time", "0.2866667")
	b.seconds("op/feature/F/between", "19.1414957") // 0.2866667 + 99 × 0.0894427 + 100 × 0.1
	out := b.figure("op/feature/F/with/DR/back-time").Mul(decimal.NewFromInt(100))
	if got := b.figure("op/feature/F/positioning"); !got.Sub(out).Equal(b.figure("op/feature/F/between")) {
		t.Errorf("positioning %s is not the ways between and %s out of the holes", got, out)
	}
}

// TestShortAndLongMoves: 12 holes 25 mm apart, trapezoid without jerk: 11 × 0.1414 s;
// a move of 72 mm just reaches the full speed. Own arithmetic.
func TestShortAndLongMoves(t *testing.T) {
	t.Parallel()
	for spacing, want := range map[string]string{"25": "0.1414214", "72": "0.24", "71.999999": "0.24", "600": "1.12"} {
		moving().cut(t, holes("12", spacing)).seconds("op/feature/F/spacing-time", want)
	}
}

// TestMovesOfAMill: a face in two levels goes down 2 + 1 mm and up again each time:
// four moves of 2·√(0.003/5) s.
func TestMovesOfAMill(t *testing.T) {
	t.Parallel()
	s := moving()
	s.tools = []bom.Tool{endMill("T", "20", "3")}
	f := bom.Feature{ID: "F", Name: "face", Kind: bom.Face, LengthMM: ft.Num("60"), WidthMM: ft.Num("15"), DepthMM: ft.Num("1"), DepthOfCutMM: ft.Num("0.5")}
	s.cut(t, f).seconds("op/feature/F/positioning", "0.1959592")
}

// TestWaysNotCounted: what the book does not give is no time, and is said.
func TestWaysNotCounted(t *testing.T) {
	t.Parallel()
	s := moving()
	if b := s.cut(t, holes("4", "10")); b.noted("acceleration_m_s2") || !b.noted("settling_s") || !b.noted("approach_mm") || b.noted("spacing_mm") {
		t.Error("what is not counted is not told rightly")
	}
	s.centre.AccelerationMS2, s.centre.SettlingS, s.centre.ApproachMM = nil, ft.Num("0"), ft.Num("0")
	f := holes("4", "10")
	b := s.cut(t, f)
	b.seconds("op/feature/F/between", "0.05") // 3 × 10/600
	if !b.noted("acceleration_m_s2") {
		t.Error("no acceleration, and it is not said")
	}
	f.SpacingMM = nil
	if b = s.cut(t, f); b.Has("op/feature/F/spacing-time") || !b.noted("spacing_mm") {
		t.Error("no spacing of four holes, and it is not said")
	}
	s.centre.RapidMMMin = nil
	if b = s.cut(t, f); b.Has("op/feature/F/with/DR/back-time") || !b.noted("rapid_mm_min") || b.noted("spacing_mm") {
		t.Error("no rapid speed, and it is not said once")
	}
	alone := holes("4", "10")
	alone.Count = nil
	if faults := alone.Faults(); len(faults) != 1 || !strings.Contains(faults[0].Message, "count") {
		t.Errorf("a spacing of one hole: %v", faults)
	}
}

// TestToolSettles once for each tool of a load, beside its change.
func TestToolSettles(t *testing.T) {
	t.Parallel()
	s := moving()
	s.centre.ToolSettlingS = ft.Num("1.5")
	s.cut(t, holes("4", "10")).seconds("op/tool-changes", "7.5")
}

// TestMovesRise: a faster rapid, a faster acceleration and less settling never take
// longer; more holes and deeper ones never less.
func TestMovesRise(t *testing.T) {
	t.Parallel()
	draw := rand.New(rand.NewPCG(9, 1))
	for range 20 {
		s := moving()
		s.centre.SettlingS, s.centre.ApproachMM = ft.Num(rising(draw, 1, 1, 50)[0]), ft.Num(rising(draw, 1, 100, 30_000)[0])
		f := holes("7", rising(draw, 1, 50, 20_000)[0])
		f.PeckMM = ft.Num(rising(draw, 1, 50, 400)[0])
		vary := func(what, key string, falling bool, low, high int, set func(*rates.WorkCentre, *bom.Feature, string)) {
			var list []built
			for _, x := range rising(draw, 6, low, high) {
				varied, feature := s, f
				set(&varied.centre, &feature, x)
				b := varied.cut(t, feature)
				if falling {
					list = append(list, b)
				} else {
					list = append([]built{b}, list...)
				}
			}
			neverMore(t, what, key, list)
		}
		const moves, time = "op/feature/F/positioning", "op/feature/F/with/DR/minutes"
		vary("faster rapid", moves, true, 10_000, 6_000_000, func(w *rates.WorkCentre, _ *bom.Feature, x string) { w.RapidMMMin = ft.Num(x) })
		vary("faster acceleration", moves, true, 10, 1500, func(w *rates.WorkCentre, _ *bom.Feature, x string) { w.AccelerationMS2 = ft.Num(x) })
		vary("more holes", time, false, 100, 20_000, func(_ *rates.WorkCentre, f *bom.Feature, x string) {
			n := ft.Dec(x).Ceil()
			f.Count = ft.Num(n.String())
		})
		vary("deeper holes", time, false, 50, 3000, func(_ *rates.WorkCentre, f *bom.Feature, x string) { f.DepthMM = ft.Num(x) })
		vary("holes further apart", moves, false, 50, 30_000, func(_ *rates.WorkCentre, f *bom.Feature, x string) { f.SpacingMM = ft.Num(x) })
	}
}
