package machining_test

import (
	"fmt"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/graph/exact"
)

// sixty is a part of sixty features of twelve kinds, cut by a dozen tools.
func sixty() (shop, []bom.Feature) {
	saw := bom.Tool{ID: "SAW", Name: "saw", Kind: bom.SlittingSaw, DiameterMM: num("80"), WidthMM: num("1"), Teeth: num("64"), LifeMin: num("90"), EdgeCost: num("40")}
	face := bom.Tool{ID: "FM", Name: "face mill", Kind: bom.FaceMill, DiameterMM: num("50"), Teeth: num("5"), LifeMin: num("40"), EdgeCost: num("9"), EdgeChangeMin: num("3")}
	fly := bom.Tool{ID: "FLY", Name: "fly cutter", Kind: bom.FlyCutter, DiameterMM: num("70"), NoseRadiusMM: num("0.8"), TaylorN: num("0.25"), TaylorC: num("900"), EdgeCost: num("12"), EdgeChangeMin: num("2")}
	drill := bom.Tool{ID: "D25", Name: "drill", Kind: bom.DrillTool, DiameterMM: num("2.5"), LifeMin: num("60"), EdgeCost: num("6")}
	large := bom.Tool{ID: "D5", Name: "drill", Kind: bom.DrillTool, DiameterMM: num("5"), LifeMin: num("60"), EdgeCost: num("6")}
	tap := bom.Tool{ID: "M3", Name: "tap", Kind: bom.TapTool, DiameterMM: num("3"), PitchMM: num("0.5"), LifeMin: num("40"), EdgeCost: num("15")}
	chamfer := bom.Tool{ID: "CH", Name: "chamfer mill", Kind: bom.ChamferMill, DiameterMM: num("8"), Teeth: num("2")}
	engraver := bom.Tool{ID: "EN", Name: "engraver", Kind: bom.Engraver, DiameterMM: num("0.5")}
	s := copper(saw, face, fly, drill, large, tap, chamfer, engraver, endMill("EM3", "3", "3"), endMill("EM6", "6", "3"), endMill("EM10", "10", "3"))
	s.op.PiecesPerLoad, s.op.AttendedShare = num("4"), num("0.35")
	var list []bom.Feature
	for i := range 60 {
		f := []bom.Feature{
			plainPocket(), {Kind: bom.Drill, DiameterMM: num("2.5"), DepthMM: num("9"), PeckMM: num("3")},
			{Kind: bom.Tap, DiameterMM: num("3"), DepthMM: num("8"), PitchMM: num("0.5")},
			{Kind: bom.Drill, DiameterMM: num("5"), DepthMM: num("20"), Through: true},
			{Kind: bom.Slot, LengthMM: num("40"), WidthMM: num("6.5"), DepthMM: num("5")},
			{Kind: bom.Contour, PathMM: num("120"), DepthMM: num("6")}, {Kind: bom.Chamfer, PathMM: num("90")},
			{Kind: bom.Face, LengthMM: num("62"), WidthMM: num("60"), DepthMM: num("1")},
			{Kind: bom.SlotArray, LengthMM: num("60"), WidthMM: num("60"), DepthMM: num("12"), SlotWidthMM: num("1"), FinWidthMM: num("1")},
			{Kind: bom.Engrave, PathMM: num("60"), DepthMM: num("0.2")}, plainPocket(),
			{Kind: bom.FinishFace, LengthMM: num("62"), WidthMM: num("60"), RzUM: num("1")},
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
			t.ID, t.EdgeCost = bom.ID(fmt.Sprint(t.ID, "-", i)), num(fmt.Sprint(5+i))
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

// BenchmarkBuildSixty only builds them.
func BenchmarkBuildSixty(b *testing.B) {
	s, list := sixty()
	for b.Loop() {
		s.build(b, list...)
	}
}
