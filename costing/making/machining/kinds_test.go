package machining_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/rates"
)

// smallWork is a feature of each kind that holes, lathes, saws and hands do, with tools
// for all of them, two that suit where two kinds of tool do.
func smallWork() (shop, []bom.Feature) {
	tool := func(id string, kind bom.ToolKind, diameter string) bom.Tool {
		t := bom.Tool{ID: bom.ID(id), Name: id, Kind: kind, LifeMin: ft.Num("40"), EdgeCost: ft.Num("9"), EdgeChangeMin: ft.Num("1")}
		if diameter != "" {
			t.DiameterMM = ft.Num(diameter)
		}
		return t
	}
	flat, wide, narrow, inside := tool("FLAT", bom.DrillTool, "11"), tool("P3", bom.PartingBlade, ""), tool("P2", bom.PartingBlade, ""), tool("PI", bom.PartingBlade, "16")
	flat.PointAngleDeg, wide.WidthMM, narrow.WidthMM, inside.WidthMM = ft.Num("180"), ft.Num("3"), ft.Num("2"), ft.Num("2")
	turning := tool("TT", bom.TurningTool, "")
	turning.NoseRadiusMM = ft.Num("0.4")
	boring := tool("BO", bom.BoringTool, "10")
	boring.NoseRadiusMM = ft.Num("0.4")
	s := copper(flat, wide, narrow, inside, turning, boring, tool("SD", bom.SpotDrill, "14"), tool("CH", bom.ChamferMill, "16"), tool("R6", bom.Reamer, "6"),
		tool("TH", bom.ThreadingTool, ""), tool("THI", bom.ThreadingTool, "14"), tool("KN", bom.KnurlingTool, ""), tool("BAND", bom.BandSaw, ""),
		endMill("EM6", "6", "3"), endMill("EM8", "8", "3"), endMill("EM10", "10", "3"))
	s.centre.SettlingS = ft.Num("0.2")
	f := func(id string, kind bom.FeatureKind) bom.Feature {
		return bom.Feature{ID: bom.ID(id), Name: id, Kind: kind}
	}
	list := []bom.Feature{f("SPOT", bom.Spot), f("SINK", bom.Countersink), f("HEAD", bom.Counterbore), f("REAM", bom.Ream), f("ROUND", bom.CircularPocket), f("RING", bom.CircularPocket),
		f("GROOVE", bom.Groove), f("UNDER", bom.Groove), f("TAPER", bom.TurnProfile), f("MOUTH", bom.TurnProfile), f("SCREW", bom.ThreadTurn), f("NUT", bom.ThreadTurn),
		f("KNURL", bom.Knurl), f("SAW", bom.SawCut), f("EDGES", bom.Deburr), f("GLOSS", bom.Polish), f("BLAST", bom.Blast), f("TEXT", bom.Mark), f("INSERT", bom.FitInsert)}
	sizes := map[bom.ID][]**bom.Number{}
	for i := range list {
		g := &list[i]
		sizes[g.ID] = []**bom.Number{&g.DiameterMM, &g.ToDiameterMM, &g.LengthMM, &g.WidthMM, &g.DepthMM, &g.PitchMM, &g.PathMM, &g.AreaDM2, &g.Characters}
		g.Inside, g.Through = g.ID == "NUT", g.ID == "REAM"
	}
	for id, text := range map[bom.ID][9]string{
		"SPOT": {"4"}, "SINK": {"12", "6"}, "HEAD": {"11", "6", "", "", "6"}, "REAM": {"6", "", "", "", "12"}, "ROUND": {"34", "", "", "", "9"}, "RING": {"34", "", "", "0.3", "9"},
		"GROOVE": {"22", "18", "", "4.5"}, "UNDER": {"22", "25", "", "4"}, "TAPER": {"28", "20", "30"}, "MOUTH": {"16", "22", "5"}, "SCREW": {"20", "", "20", "", "", "1.5"},
		"NUT": {"24", "", "15", "", "", "1.5"}, "KNURL": {"42", "", "14"}, "SAW": {"", "", "", "65", "35"}, "EDGES": {"", "", "", "", "", "", "260"},
		"GLOSS": {"", "", "", "", "", "", "", "0.6"}, "BLAST": {"", "", "", "", "", "", "", "1.6"}, "TEXT": {"", "", "", "", "", "", "", "", "12"}} {
		for i, n := range text {
			if n != "" {
				*sizes[id][i] = ft.Num(n)
			}
		}
	}
	return s, list
}

// TestSmallWorkInAnyOrder: neither the order of the tools, nor that of the features, nor
// that of the rows changes a figure.
func TestSmallWorkInAnyOrder(t *testing.T) {
	t.Parallel()
	s, list := smallWork()
	for i, kind := range []bom.ToolKind{bom.ThreadingTool, bom.Reamer, bom.SpotDrill, bom.ThreadingTool, bom.BandSaw} {
		row := rates.CuttingRow{ID: bom.ID(fmt.Sprint("own-", i)), Material: "M", Tool: kind, From: bom.Date(fmt.Sprintf("2026-01-0%d", i+1)), Source: "trials", SpeedMMin: ft.Num(fmt.Sprint(20 + i))}
		row.MorePasses, row.SawRateCM2Min = ft.Num(fmt.Sprint(i)), ft.Num(fmt.Sprint(30+i))
		s.data = append(s.data, row)
	}
	want := s.cut(t, list...).figures()
	draw := rand.New(rand.NewPCG(21, 1))
	for range 6 {
		s.data = slices.Clone(s.data)
		draw.Shuffle(len(s.data), func(i, j int) { s.data[i], s.data[j] = s.data[j], s.data[i] })
		s.tools = slices.Clone(s.tools)
		draw.Shuffle(len(s.tools), func(i, j int) { s.tools[i], s.tools[j] = s.tools[j], s.tools[i] })
		draw.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
		got := s.cut(t, list...).figures()
		if len(got) != len(want) {
			t.Errorf("%d figures in one order, %d in another", len(want), len(got))
		}
		for key, w := range want {
			if g, ok := got[key]; !ok || !g.Round(28).Equal(w.Round(28)) {
				t.Fatalf("%s is %s in one order and %s in another", key, w, g)
			}
		}
	}
}

// TestSmallWorkGrows: a faster spindle never takes longer; more features, deeper, longer
// or wider ones, and more edge, area or text never take less.
func TestSmallWorkGrows(t *testing.T) {
	t.Parallel()
	draw := rand.New(rand.NewPCG(22, 1))
	s, list := smallWork()
	var faster []built
	for _, n := range rising(draw, 6, 20_000, 3_000_000) {
		s.centre.SpindleMaxPerMin = ft.Num(n)
		faster = append(faster, s.cut(t, list...))
	}
	var more []built
	for n := 6; n > 0; n-- {
		for i := range list {
			list[i].Count = ft.Num(fmt.Sprint(n))
		}
		more = append(more, s.cut(t, list...))
	}
	var larger []built
	for _, at := range []int{24, 17, 14, 12, 11, 10} {
		_, grown := smallWork()
		for i := range grown {
			g := &grown[i]
			for _, n := range []**bom.Number{&g.LengthMM, &g.DepthMM, &g.PathMM, &g.AreaDM2, &g.Characters} {
				if *n != nil {
					size := bom.Exactly((*n).Likely.Mul(ft.Dec(fmt.Sprint(at))).Div(ft.Dec("10")))
					*n = &size
				}
			}
			if g.Kind == bom.Groove || g.Kind == bom.SawCut {
				wide := bom.Exactly(g.WidthMM.Likely.Mul(ft.Dec(fmt.Sprint(at))).Div(ft.Dec("10")))
				g.WidthMM = &wide
			}
		}
		larger = append(larger, s.cut(t, grown...))
	}
	for _, f := range list {
		key := "op/feature/" + string(f.ID) + "/"
		neverMore(t, "faster spindle", key+"cutting", faster)
		neverMore(t, "fewer", key+"cost", more)
		neverMore(t, "smaller", key+"cutting", larger)
	}
}

// TestFinerProfileNeverCostsLess: nor does a tighter circle in a pocket speed it up.
func TestFinerProfileNeverCostsLess(t *testing.T) {
	t.Parallel()
	draw := rand.New(rand.NewPCG(23, 1))
	s, list := smallWork()
	at := slices.IndexFunc(list, func(f bom.Feature) bool { return f.ID == "TAPER" })
	list[at].RaUM = nil
	coarsest := s.cut(t, list[at])
	var finer []built
	for _, ra := range rising(draw, 6, 10, 600) {
		list[at].RaUM = ft.Num(ra)
		finer = append(finer, s.cut(t, list[at]))
	}
	neverMore(t, "coarser roughness", "op/feature/TAPER/cost", finer)
	if f, c := finer[0].figure("op/feature/TAPER/cost"), coarsest.figure("op/feature/TAPER/cost"); f.LessThan(c) {
		t.Errorf("Ra %s costs %s, and none asked %s", list[at].RaUM.Likely, f, c)
	}
	// At one edge feed the centre of a mill is the slower the tighter it circles.
	round := list[slices.IndexFunc(list, func(f bom.Feature) bool { return f.ID == "RING" })]
	round.Tools = []bom.ID{"EM10"}
	share := func(d string) string {
		round.DiameterMM = ft.Num(d)
		return s.cut(t, round).figure("op/feature/RING/with/EM10/centre-share").Round(4).String()
	}
	if tight, open := share("12.5"), share("40"); tight != "0.2" || open != "0.75" {
		t.Errorf("the centre runs at %s and %s of the feed", tight, open)
	}
}

// TestDeepCircle: a mill that reaches deeper than four diameters takes less depth in a round
// pocket, and a check says so; along its wall it takes the whole edge.
func TestDeepCircle(t *testing.T) {
	t.Parallel()
	s := copper(endMill("T", "6", "3"))
	f := bom.Feature{ID: "F", Name: "pocket", Kind: bom.CircularPocket, DiameterMM: ft.Num("20"), DepthMM: ft.Num("30")}
	s.cut(t, f).want("op/feature/F/reach-free", "0")
	f.WidthMM = ft.Num("0.2")
	if s.cut(t, f).Has("op/feature/F/reach-free") {
		t.Error("a light cut is held back by its reach")
	}
}

// TestThreadIsFollowed: slides of 1,000 mm/min follow a lead of 6 mm at 166.67 turns, where
// the cutting speed asks for 318.31.
func TestThreadIsFollowed(t *testing.T) {
	t.Parallel()
	s := milling(bom.Tool{ID: "TH", Name: "threading tool", Kind: bom.ThreadingTool})
	s.centre.RapidMMMin = ft.Num("1000")
	b := s.cut(t, bom.Feature{ID: "F", Name: "thread", Kind: bom.ThreadTurn, DiameterMM: ft.Num("60"), LengthMM: ft.Num("30"), PitchMM: ft.Num("3"), Starts: ft.Num("2"), SpeedMMin: ft.Num("60")})
	b.want("op/feature/F/with/TH/spindle-speed", "318.31")
	b.want("op/feature/F/with/TH/spindle-followed", "166.67")
	b.want("op/feature/F/cutting", "1.064") // 28 passes of 38 mm at 1,000 mm/min
}

// TestSmallBarIsNoted: the rates of saws are of bars from 20 mm.
func TestSmallBarIsNoted(t *testing.T) {
	t.Parallel()
	s := copper(bom.Tool{ID: "T", Name: "band", Kind: bom.BandSaw})
	for d, want := range map[string]int{"19": 1, "20": 0} {
		b := s.cut(t, bom.Feature{ID: "F", Name: "cut", Kind: bom.SawCut, DiameterMM: ft.Num(d)})
		said := 0
		for _, f := range b.Graph.Findings() {
			if strings.Contains(f.Message, "20 to 100 mm") {
				said++
			}
		}
		if said != want {
			t.Errorf("%s mm: said %d times", d, said)
		}
	}
}

// TestByHandNeedsNoTool: what is done by hand asks neither for a tool, nor for the
// material, nor for motions of the bench, and takes a factor measured there.
func TestByHandNeedsNoTool(t *testing.T) {
	t.Parallel()
	s := shop{centre: milling().centre, mat: milling().mat, machine: "60"}
	edges := bom.Feature{ID: "F", Name: "edges", Kind: bom.Deburr, PathMM: ft.Num("500")}
	b := s.cut(t, edges)
	b.want("op/feature/F/cutting", "1")
	b.want("op/feature/F/cost", "1")
	if len(b.Graph.Findings()) > 0 || b.Has("op/tools-used") {
		t.Errorf("%v", b.Graph.Findings())
	}
}
