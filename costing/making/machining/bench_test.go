package machining_test

import (
	"fmt"
	"testing"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph/exact"
)

// sixty is a part of sixty features of twelve kinds, cut by a dozen tools.
func sixty() (shop, []bom.Feature) {
	saw := bom.Tool{ID: "SAW", Name: "saw", Kind: bom.SlittingSaw, DiameterMM: ft.Num("80"), WidthMM: ft.Num("1"), Teeth: ft.Num("64"), LifeMin: ft.Num("90"), EdgeCost: ft.Num("40")}
	face := bom.Tool{ID: "FM", Name: "face mill", Kind: bom.FaceMill, DiameterMM: ft.Num("50"), Teeth: ft.Num("5"), LifeMin: ft.Num("40"), EdgeCost: ft.Num("9"), EdgeChangeMin: ft.Num("3")}
	fly := bom.Tool{ID: "FLY", Name: "fly cutter", Kind: bom.FlyCutter, DiameterMM: ft.Num("70"), NoseRadiusMM: ft.Num("0.8"), TaylorN: ft.Num("0.25"), TaylorC: ft.Num("900"), EdgeCost: ft.Num("12"), EdgeChangeMin: ft.Num("2")}
	drill := bom.Tool{ID: "D25", Name: "drill", Kind: bom.DrillTool, DiameterMM: ft.Num("2.5"), LifeMin: ft.Num("60"), EdgeCost: ft.Num("6")}
	large := bom.Tool{ID: "D5", Name: "drill", Kind: bom.DrillTool, DiameterMM: ft.Num("5"), LifeMin: ft.Num("60"), EdgeCost: ft.Num("6")}
	tap := bom.Tool{ID: "M3", Name: "tap", Kind: bom.TapTool, DiameterMM: ft.Num("3"), PitchMM: ft.Num("0.5"), LifeMin: ft.Num("40"), EdgeCost: ft.Num("15")}
	chamfer := bom.Tool{ID: "CH", Name: "chamfer mill", Kind: bom.ChamferMill, DiameterMM: ft.Num("8"), Teeth: ft.Num("2")}
	engraver := bom.Tool{ID: "EN", Name: "engraver", Kind: bom.Engraver, DiameterMM: ft.Num("0.5")}
	s := copper(saw, face, fly, drill, large, tap, chamfer, engraver, endMill("EM3", "3", "3"), endMill("EM6", "6", "3"), endMill("EM10", "10", "3"))
	s.op.PiecesPerLoad, s.op.AttendedShare = ft.Num("4"), ft.Num("0.35")
	var list []bom.Feature
	for i := range 60 {
		f := []bom.Feature{
			plainPocket(), {Kind: bom.Drill, DiameterMM: ft.Num("2.5"), DepthMM: ft.Num("9"), PeckMM: ft.Num("3")},
			{Kind: bom.Tap, DiameterMM: ft.Num("3"), DepthMM: ft.Num("8"), PitchMM: ft.Num("0.5")},
			{Kind: bom.Drill, DiameterMM: ft.Num("5"), DepthMM: ft.Num("20"), Through: true},
			{Kind: bom.Slot, LengthMM: ft.Num("40"), WidthMM: ft.Num("6.5"), DepthMM: ft.Num("5")},
			{Kind: bom.Contour, PathMM: ft.Num("120"), DepthMM: ft.Num("6")}, {Kind: bom.Chamfer, PathMM: ft.Num("90")},
			{Kind: bom.Face, LengthMM: ft.Num("62"), WidthMM: ft.Num("60"), DepthMM: ft.Num("1")},
			{Kind: bom.SlotArray, LengthMM: ft.Num("60"), WidthMM: ft.Num("60"), DepthMM: ft.Num("12"), SlotWidthMM: ft.Num("1"), FinWidthMM: ft.Num("1")},
			{Kind: bom.Engrave, PathMM: ft.Num("60"), DepthMM: ft.Num("0.2")}, plainPocket(),
			{Kind: bom.FinishFace, LengthMM: ft.Num("62"), WidthMM: ft.Num("60"), RzUM: ft.Num("1")},
		}[i%12]
		f.ID, f.Name = bom.ID(fmt.Sprint("F", i)), "feature"
		list = append(list, f)
	}
	return s, list
}

// BenchmarkManyTools builds and evaluates sixty features with some sixty tools, of
// which about eight suit each.
func BenchmarkManyTools(b *testing.B) {
	s, list := sixty()
	for _, t := range s.tools {
		if t.Kind == bom.EndMill {
			continue
		}
		for i := range 7 {
			t.ID, t.EdgeCost = bom.ID(fmt.Sprint(t.ID, "-", i)), ft.Num(fmt.Sprint(5+i))
			s.tools = append(s.tools, t)
		}
	}
	for _, d := range []string{"2", "4", "5", "8", "12"} {
		s.tools = append(s.tools, endMill("EM"+d, d, "3"))
	}
	benchmark(b, s, list)
}

// BenchmarkSixtyFeatures builds and evaluates them.
func BenchmarkSixtyFeatures(b *testing.B) {
	s, list := sixty()
	benchmark(b, s, list)
}

func benchmark(b *testing.B, s shop, list []bom.Feature) {
	nodes := 0
	for b.Loop() {
		g, _, problems := s.build(b, list...)
		if len(problems) > 0 {
			b.Fatal(problems)
		}
		if _, err := exact.Evaluate(g, nil); err != nil {
			b.Fatal(err)
		}
		nodes = g.Len()
	}
	b.ReportMetric(float64(nodes), "nodes")
}
