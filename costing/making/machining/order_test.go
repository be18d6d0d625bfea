package machining_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
)

// randomShop has a dozen to thirty tools, among them pairs that differ in nothing
// but their names, and features that name some of them.
func randomShop(draw *rand.Rand) (shop, []bom.Feature) {
	some := func(low, high int) *bom.Number { return ft.Num(rising(draw, 1, low, high)[0]) }
	tools := []bom.Tool{endMill("A", "6", "3"), {ID: "B", Name: "saw", Kind: bom.SlittingSaw, DiameterMM: ft.Num("80"), WidthMM: ft.Num("1")},
		{ID: "C", Name: "drill", Kind: bom.DrillTool, DiameterMM: ft.Num("5")}, {ID: "D", Name: "turning tool", Kind: bom.TurningTool, NoseRadiusMM: ft.Num("0.4")}}
	for i := range 12 + draw.IntN(18) {
		t := endMill("", some(200, 1200).Likely.String(), fmt.Sprint(2+draw.IntN(3)))
		switch draw.IntN(8) {
		case 0:
			t.Kind = bom.BallMill
		case 1:
			t.Kind = bom.FaceMill
		case 2:
			t = bom.Tool{Kind: bom.SlittingSaw, DiameterMM: ft.Num("80"), WidthMM: some(20, 200), Teeth: ft.Num("48")}
		case 3:
			t = bom.Tool{Kind: bom.DrillTool, DiameterMM: ft.Num("5"), PointAngleDeg: some(9000, 15000)}
		case 4:
			t = bom.Tool{Kind: bom.TurningTool, NoseRadiusMM: some(20, 120)}
		}
		if draw.IntN(2) == 0 {
			t.LifeMin, t.EdgeCost, t.EdgeChangeMin = some(1000, 9000), some(50, 3000), some(10, 200)
		}
		if draw.IntN(3) == 0 && t.Kind == bom.EndMill {
			t.CuttingLengthMM = some(300, 2000)
		}
		if draw.IntN(4) == 0 {
			t = tools[draw.IntN(len(tools))]
		}
		t.ID, t.Name = bom.ID(fmt.Sprintf("T%02d", i)), fmt.Sprint("tool ", i)
		tools = append(tools, t)
	}
	s := copper(tools...)
	s.op.PiecesPerLoad = ft.Num("3")
	slot := plainPocket()
	slot.ID, slot.Kind = "SLOT", bom.Slot
	fins := array("60", "1.5", "1", false)
	fins.SpeedMMin, fins.FeedMM = nil, nil
	list := []bom.Feature{plainPocket(), slot, fins,
		{ID: "FACE", Name: "face", Kind: bom.Face, LengthMM: ft.Num("62"), WidthMM: ft.Num("60"), DepthMM: ft.Num("1")},
		{ID: "HOLE", Name: "hole", Kind: bom.Drill, DiameterMM: ft.Num("5"), DepthMM: ft.Num("12")},
		{ID: "TURN", Name: "length", Kind: bom.Turn, LengthMM: ft.Num("40"), DiameterMM: ft.Num("60"), ToDiameterMM: ft.Num("52"), RaUM: ft.Num("1.6")},
		{ID: "SIDE", Name: "side", Kind: bom.Contour, PathMM: ft.Num("120"), DepthMM: ft.Num("6")}}
	named := plainPocket()
	named.ID = "NAMED"
	for _, t := range tools {
		if t.Kind == bom.EndMill {
			named.Tools = append(named.Tools, t.ID)
		}
	}
	return s, append(list, named)
}

// figures are the values of a build by key.
func (b built) figures() map[string]decimal.Decimal {
	b.T.Helper()
	if len(b.problems) > 0 {
		b.T.Fatal(b.problems)
	}
	out := map[string]decimal.Decimal{}
	for id := range graph.ID(b.Graph.Len()) {
		out[b.Graph.Node(id).Key] = b.Get(b.v, id)
	}
	return out
}

// TestPlaceOfAToolDoesNotCount: tools in another order, of the shop or of a feature,
// change no figure and add none.
func TestPlaceOfAToolDoesNotCount(t *testing.T) {
	t.Parallel()
	draw := rand.New(rand.NewPCG(5, 1))
	for range 40 {
		s, list := randomShop(draw)
		want := s.cut(t, list...).figures()
		s.tools = slices.Clone(s.tools)
		draw.Shuffle(len(s.tools), func(i, j int) { s.tools[i], s.tools[j] = s.tools[j], s.tools[i] })
		for i := range list {
			l := slices.Clone(list[i].Tools)
			draw.Shuffle(len(l), func(i, j int) { l[i], l[j] = l[j], l[i] })
			list[i].Tools = l
		}
		got := s.cut(t, list...).figures()
		if len(got) != len(want) {
			t.Errorf("%d figures in one order, %d in another", len(want), len(got))
		}
		for key, w := range want {
			if g, ok := got[key]; !ok || !g.Round(30).Equal(w.Round(30)) {
				t.Fatalf("%s is %s in one order of %d tools and %s in another", key, w, len(s.tools), g)
			}
		}
	}
}

// TestEveryToolIsPriced: the cheapest of twenty mills is found wherever it stands,
// and of two that cost the same the lower id is taken.
func TestEveryToolIsPriced(t *testing.T) {
	t.Parallel()
	var tools []bom.Tool
	for i := range 20 {
		m := endMill(fmt.Sprintf("M%02d", 20-i), "6", "3")
		m.LifeMin, m.EdgeCost = ft.Num("30"), ft.Num(fmt.Sprint(40-i/2)) // pairs; the last two cost least
		tools = append(tools, m)
	}
	b := milling(tools...)
	b.mat.CuttingAs = "aluminium-6082"
	got := b.cut(t, plainPocket())
	got.want("op/feature/F/tool", "1") // M01, not M02
	if !got.figure("op/feature/F/cost").Equal(got.figure("op/feature/F/with/M01/cost")) || !got.figure("op/feature/F/with/M02/cost").Equal(got.figure("op/feature/F/with/M01/cost")) {
		t.Error("the tool taken is not the lower of the two that cost least")
	}
	for _, m := range tools {
		if !got.Has("op/feature/F/with/" + string(m.ID) + "/cost") {
			t.Errorf("%s suits and is not priced", m.ID)
		}
	}
}

// TestManyTools: nothing is left out, however many tools can cut a feature.
func TestManyTools(t *testing.T) {
	t.Parallel()
	s := milling()
	s.mat.CuttingAs = "aluminium-6082"
	for i := range 300 {
		s.tools = append(s.tools, endMill(fmt.Sprint("T", i), "6", "3"))
	}
	if got := s.cut(t, plainPocket()); !got.Has("op/feature/F/with/T299/cost") {
		t.Error("300 tools are not compared")
	}
}

// TestManyFeatures: an operation cuts as many features as the drawing has.
func TestManyFeatures(t *testing.T) {
	t.Parallel()
	s := milling()
	s.mat.CuttingAs = "aluminium-6082"
	s.tools = append(s.tools, endMill("T", "6", "3"))
	features := make([]bom.Feature, 300)
	for i := range features {
		features[i] = plainPocket()
		features[i].ID = bom.ID(fmt.Sprint("F", i+1))
	}
	one, all := s.cut(t, plainPocket()).figure("op/removed"), s.cut(t, features...).figure("op/removed")
	if want := one.Mul(bom.Whole(300).Likely); !all.Round(20).Equal(want.Round(20)) {
		t.Errorf("300 features take away %s, want %s", all, want)
	}
}
