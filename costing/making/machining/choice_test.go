package machining_test

import (
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
)

func pair(edgeCost string) shop {
	small, large := endMill("SMALL", "6", "3"), endMill("LARGE", "12", "3")
	for _, t := range []*bom.Tool{&small, &large} {
		t.LifeMin, t.EdgeChangeMin = ft.Num("30"), ft.Num("1")
	}
	small.EdgeCost, large.EdgeCost = ft.Num("1"), ft.Num(edgeCost)
	s := milling(small, large)
	s.mat = rates.Material{ID: "M", Name: "aluminium", CuttingAs: "aluminium-6082"}
	s.centre.ToolChangeS, s.centre.RapidMMMin = ft.Num("6"), ft.Num("15000")
	return s
}

func plainPocket() bom.Feature {
	return bom.Feature{ID: "F", Name: "pocket", Kind: bom.Pocket, LengthMM: ft.Num("60"), WidthMM: ft.Num("40"), DepthMM: ft.Num("8")}
}

// TestCheapestTool: the large mill is faster; with dear edges the small one costs
// less. The cost of both stands in the graph, and the choice is the least.
func TestCheapestTool(t *testing.T) {
	t.Parallel()
	for cost, want := range map[string]string{"1": "1", "2000": "2"} { // counted by id: LARGE, SMALL
		b := pair(cost).cut(t, plainPocket())
		b.want("op/feature/F/tool", want)
		small, large := b.figure("op/feature/F/with/SMALL/cost"), b.figure("op/feature/F/with/LARGE/cost")
		if small.LessThan(large) != (want == "2") {
			t.Errorf("edge at %s: small %s, large %s, chosen %s", cost, small, large, want)
		}
		chosen := map[string]string{"1": "LARGE", "2": "SMALL"}[want]
		if !b.figure("op/feature/F/cutting").Equal(b.figure("op/feature/F/with/" + chosen + "/cutting")) {
			t.Errorf("the cutting time is not that of %s", chosen)
		}
	}
}

// TestCostOfCandidate adds it up by hand: minutes × 1.00 + edges.
func TestCostOfCandidate(t *testing.T) {
	t.Parallel()
	s := pair("3")
	s.op.PiecesPerLoad = ft.Num("4")
	b := s.cut(t, plainPocket())
	cutting, move := b.figure("op/feature/F/with/LARGE/cutting"), b.figure("op/feature/F/with/LARGE/positioning")
	edges := cutting.DivRound(decimal.NewFromInt(30), 40)
	want := cutting.Add(move).Add(edges).Add(ft.Dec("0.025")).Add(edges.Mul(decimal.NewFromInt(3))) // 6 s ÷ 4 pieces
	if got := b.figure("op/feature/F/with/LARGE/cost"); !got.Round(20).Equal(want.Round(20)) {
		t.Errorf("cost %s, want %s", got, want)
	}
}

// TestHourCost: machine and attended labour with its allowance price a minute.
func TestHourCost(t *testing.T) {
	t.Parallel()
	s := pair("3")
	s.machine = ""
	b := s.cut(t, plainPocket())
	if b.Has("op/minute-cost") {
		t.Error("no rate, and a cost of minutes")
	}
	b.want("op/feature/F/tool", "1") // LARGE, by time
}

// TestToolChanges counts different tools once per load, by what is chosen.
func TestToolChanges(t *testing.T) {
	t.Parallel()
	narrow := plainPocket()
	narrow.ID, narrow.WidthMM = "NARROW", ft.Num("8") // too narrow for the large mill
	b := pair("1").cut(t, plainPocket(), narrow)
	b.want("op/tools-used", "2")
	b.want("op/tool-changes", "0.2")
	second := narrow
	second.ID = "SECOND"
	b = pair("2000").cut(t, plainPocket(), narrow, second) // the small mill for all
	b.want("op/tools-used", "1")

	// The choice follows an input that is pinned.
	b.tried(map[string]string{"tool/LARGE/edge-cost": "0"}).want("op/tools-used", "2")
}

// TestMeasuredFactor multiplies the minutes of one kind of feature at one work
// centre, visibly; the newest row in force counts, and one for the material.
func TestMeasuredFactor(t *testing.T) {
	t.Parallel()
	s := milling(endMill("T", "8", "3"))
	s.factors = []rates.Factor{
		{ID: "old", WorkCentre: "MILL", Feature: bom.Pocket, Minutes: ft.Num("3"), From: "2025-01-01", Source: "test"},
		{ID: "new", WorkCentre: "MILL", Feature: bom.Pocket, Minutes: ft.Num("1.25"), From: "2026-01-01", Source: "test"},
		{ID: "future", WorkCentre: "MILL", Feature: bom.Pocket, Minutes: ft.Num("9"), From: "2027-01-01", Source: "test"},
		{ID: "other", WorkCentre: "MILL", Feature: bom.Slot, Minutes: ft.Num("9"), From: "2026-06-01", Source: "test"},
		{ID: "elsewhere", WorkCentre: "OTHER", Feature: bom.Pocket, Minutes: ft.Num("9"), From: "2026-06-01", Source: "test"},
	}
	b := s.cut(t, pocketOf("F"))
	b.want("factor/MILL/pocket/minutes", "1.25")
	computed, cutting := b.figure("op/feature/F/with/T/time"), b.figure("op/feature/F/cutting")
	if !cutting.Round(25).Equal(computed.Mul(ft.Dec("1.25")).Round(25)) {
		t.Errorf("measured %s of computed %s", cutting, computed)
	}
	s.factors = append(s.factors, rates.Factor{ID: "mine", WorkCentre: "MILL", Feature: bom.Pocket, Material: "M", Minutes: ft.Num("2"), From: "2024-01-01", Source: "test"})
	s.cut(t, pocketOf("F")).want("factor/MILL/pocket/M/minutes", "2")
}

// TestNoTool says of every tool of the right kind why it does not suit, and counts
// the others.
func TestNoTool(t *testing.T) {
	t.Parallel()
	short, wide, away, other := endMill("SHORT", "8", "3"), endMill("WIDE", "32", "3"), endMill("AWAY", "8", "3"), endMill("PLAIN", "8", "3")
	short.ReachMM, away.WorkCentres = ft.Num("5"), []bom.ID{"OTHER"}
	drill := bom.Tool{ID: "DRILL", Name: "drill", Kind: bom.DrillTool, DiameterMM: ft.Num("8")}
	s := milling(short, wide, away, other, drill)
	f := plainPocket()
	f.WidthMM = ft.Num("30")
	_, _, problems := s.build(t, f)
	if len(problems) != 1 {
		t.Fatal(problems)
	}
	for _, part := range []string{"SHORT reaches 5 mm deep, and the depth is 8 mm", "WIDE has a diameter of 32 mm, which is wider than the pocket of 30 mm",
		"AWAY is not kept at MILL", "PLAIN has no cutting data for M (an end mill of carbide); add a row to cutting_data, or cutting_as to the material", "1 tool is of another kind"} {
		if !strings.Contains(problems[0].Message, part) {
			t.Errorf("%q lacks %q", problems[0].Message, part)
		}
	}
	if problems[0].Field != "features[0]" {
		t.Errorf("the fault is at %s", problems[0].Field)
	}
}

// TestRangesOfData: low, likely and high of the cutting data are a range of the
// graph, one for all features that use the row, with the source of the row.
func TestRangesOfData(t *testing.T) {
	t.Parallel()
	second := plainPocket()
	second.ID = "G"
	b := pair("1").cut(t, plainPocket(), second)
	id := b.ID("cutting/aluminium-6082.end_mill.carbide/speed")
	n := b.Graph.Node(id)
	if n.Op != graph.Range || n.Low.String() != "200" || n.Value.String() != "325" || n.High.String() != "450" || !strings.Contains(n.Source.Cite, "group N2") {
		t.Errorf("the speed is %s %s–%s–%s from %q", n.Op, n.Low, n.Value, n.High, n.Source.Cite)
	}
	// 12 mm lies between 9.525 mm and 12.7 mm: 0.0762 + 0.0254 · 2.475 / 3.175.
	b.want("cutting/aluminium-6082.end_mill.carbide/with/LARGE/feed", "0.0960")
}

// TestSmallTool: below the smallest stated diameter the feed falls with the
// diameter: 0.0254 mm at 3.175 mm is 0.0128 mm at 1.6 mm.
func TestSmallTool(t *testing.T) {
	t.Parallel()
	s := pair("1")
	s.tools = []bom.Tool{endMill("TINY", "1.6", "2")}
	s.cut(t, plainPocket()).want("cutting/aluminium-6082.end_mill.carbide/with/TINY/feed", "0.0128")
}

// TestTriedOutSizes: a size that is tried out, and that the tool does not fit, is
// told by a check.
func TestTriedOutSizes(t *testing.T) {
	t.Parallel()
	tool := endMill("T", "8", "3")
	tool.ReachMM = ft.Num("10")
	b := milling(tool).cut(t, pocketOf("F"))
	for _, c := range []struct{ width, depth, fits, reaches string }{{"30", "8", "1", "1"}, {"7", "8", "0", "1"}, {"30", "12", "1", "0"}} {
		tried := b.tried(map[string]string{"op/feature/F/width": c.width, "op/feature/F/depth": c.depth})
		tried.want("op/feature/F/tool-fits", c.fits)
		tried.want("op/feature/F/tool-reaches", c.reaches)
	}
}
