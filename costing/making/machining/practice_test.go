package machining_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
)

func flyCutter() bom.Tool {
	return bom.Tool{ID: "FLY", Name: "fly cutter", Kind: bom.FlyCutter, DiameterMM: ft.Num("70"), NoseRadiusMM: ft.Num("0.8")}
}

func mirror(width string) bom.Feature {
	return bom.Feature{ID: "F", Name: "mirror", Kind: bom.FinishFace, LengthMM: ft.Num("60"), WidthMM: ft.Num(width), DepthMM: ft.Num("0.05"), RzUM: ft.Num("0.4")}
}

// noted reports whether a note of the build holds a text.
func (b built) noted(text string) bool {
	return slices.ContainsFunc(b.Graph.Findings(), func(f graph.Finding) bool { return f.Severity == graph.Note && strings.Contains(f.Message, text) })
}

// TestOneFinishingPass: a cutter at least as wide as the face finishes it in one
// pass, whatever width of cut is usual; a narrower one leaves seams, which is said,
// and a width of cut that is asked for holds.
func TestOneFinishingPass(t *testing.T) {
	t.Parallel()
	s := copper(flyCutter())
	for _, c := range []struct {
		width, rows string
		seam        bool
	}{{"60", "1", false}, {"70", "1", false}, {"70.01", "2", true}, {"113", "3", true}} { // 0.8 × 70 = 56 mm a pass
		b := s.cut(t, mirror(c.width))
		b.want("op/feature/F/with/FLY/rows", c.rows)
		if got := b.noted("leaves a seam"); got != c.seam {
			t.Errorf("a face of %s mm: seam told %v, want %v", c.width, got, c.seam)
		}
	}
	f := mirror("60")
	f.WidthOfCutMM = ft.Num("20")
	b := s.cut(t, f)
	b.want("op/feature/F/with/FLY/rows", "3")
	if !b.noted("leaves a seam") {
		t.Error("three passes across a mirror, and no seam is told of")
	}
}

// TestNarrowFace: a cutter at least as wide as the face clears it in one pass,
// however narrow the cut of the data is (0.7 × 50 = 35 mm): source
// `tool-diameter` has a cutter of
// 1.2 to 1.3 times the width, and several passes where the face is wider. A width of
// cut that is asked for holds.
func TestNarrowFace(t *testing.T) {
	t.Parallel()
	s := copper(bom.Tool{ID: "FM", Name: "face mill", Kind: bom.FaceMill, DiameterMM: ft.Num("50"), Teeth: ft.Num("5")})
	face := func(width string) bom.Feature {
		return bom.Feature{ID: "F", Name: "face", Kind: bom.Face, LengthMM: ft.Num("60"), WidthMM: ft.Num(width), DepthMM: ft.Num("1")}
	}
	for _, c := range []struct{ width, rows, path string }{{"40", "1", "114"}, {"50", "1", "114"}, {"50.01", "2", "228"}, {"71", "3", "342"}} {
		b := s.cut(t, face(c.width))
		b.want("op/feature/F/with/FM/rows", c.rows)
		b.want("op/feature/F/with/FM/path", c.path)
	}
	asked := face("40")
	asked.WidthOfCutMM = ft.Num("25")
	s.cut(t, asked).want("op/feature/F/with/FM/rows", "2")
}

// TestForceAtTheFeedUsed: the chip of a mirror is that of the feed for its
// roughness, √(8 · 0.8 · 0.0004 / 2) = 0.035777 mm, and not of the cutting data:
// hm = 2 · 60 · 0.035777 / (70 · arccos(1 − 120/70)) = 0.025918 mm.
func TestForceAtTheFeedUsed(t *testing.T) {
	t.Parallel()
	b := copper(flyCutter()).cut(t, mirror("60"))
	b.want("op/feature/F/with/FLY/feed-finishing", "0.035777")
	b.want("op/feature/F/with/FLY/mean-chip", "0.025918")
	two := flyCutter()
	two.Teeth = ft.Num("2")
	copper(two).cut(t, mirror("60")).want("op/feature/F/with/FLY/mean-chip", "0.012959")
}

// TestLightSideCut: along a side the whole edge cuts where the cut is no wider than
// 0.15 of the diameter, 1.8 mm of 12.
func TestLightSideCut(t *testing.T) {
	t.Parallel()
	mill := endMill("T", "12", "3")
	mill.CuttingLengthMM, mill.ReachMM = ft.Num("26"), ft.Num("40")
	side := func(width, depth string) bom.Feature {
		return bom.Feature{ID: "F", Name: "side", Kind: bom.Contour, PathMM: ft.Num("60"), WidthMM: ft.Num(width), DepthMM: ft.Num(depth)}
	}
	s := copper(mill)
	s.cut(t, side("1.8", "19")).want("op/feature/F/with/T/pass-depth", "19")
	s.cut(t, side("1.8", "39")).want("op/feature/F/with/T/levels", "2")
	s.cut(t, side("1.81", "19")).want("op/feature/F/with/T/levels", "4") // 0.5 D
	asked := side("1", "19")
	asked.DepthOfCutMM = ft.Num("5")
	s.cut(t, asked).want("op/feature/F/with/T/levels", "4")
}

// TestLifeFallsWithSpeed by Taylor; an entered life is held, which is said.
func TestLifeFallsWithSpeed(t *testing.T) {
	t.Parallel()
	held, falls := endMill("T", "10", "3"), endMill("T", "10", "3")
	held.LifeMin, falls.TaylorN, falls.TaylorC = ft.Num("60"), ft.Num("0.25"), ft.Num("400")
	at := func(tool bom.Tool, speed string) built {
		f := plainPocket()
		f.SpeedMMin = ft.Num(speed)
		s := copper(tool)
		s.centre.SpindleMaxPerMin, s.centre.SpindlePowerKW = nil, nil
		return s.cut(t, f)
	}
	slow, fast := at(falls, "100"), at(falls, "200")
	slow.want("op/feature/F/with/T/edge-life", "256")
	fast.want("op/feature/F/with/T/edge-life", "16")
	const text = "lasts as long at every speed"
	if slow.noted(text) || !at(held, "100").noted(text) {
		t.Error("a life that is held is not told of, or one that falls is said to be held")
	}
}

// TestFarFeed: a feed above twice the highest of the cutting data is told of: as it
// stands, by diameter, and at, between, below and above the stated diameters.
func TestFarFeed(t *testing.T) {
	t.Parallel()
	feed := bom.Number{Low: decimal.New(4, -2), Likely: decimal.New(5, -2), High: decimal.New(6, -2), IsRange: true}
	perDiameter := ft.Num("0.006")
	for name, row := range map[string]rates.CuttingRow{
		"as it stands": {FeedMM: &feed}, "by diameter": {FeedPerDiameter: perDiameter},
		"stated":  {Feeds: []rates.FeedAt{{DiameterMM: *ft.Num("10"), FeedMM: feed}, {DiameterMM: *ft.Num("12"), FeedMM: *ft.Num("1")}}},
		"between": {Feeds: []rates.FeedAt{{DiameterMM: *ft.Num("15"), FeedMM: *ft.Num("0.1")}, {DiameterMM: *ft.Num("5"), FeedMM: *ft.Num("0.02")}}},
		"above":   {Feeds: []rates.FeedAt{{DiameterMM: *ft.Num("5"), FeedMM: feed}}},
		"below":   {Feeds: []rates.FeedAt{{DiameterMM: *ft.Num("20"), FeedMM: *ft.Num("0.12")}}},
	} {
		row.ID, row.Material, row.Tool, row.SpeedMMin, row.From, row.Source = "R", "M", bom.EndMill, ft.Num("100"), "2026-01-01", "test"
		for entered, want := range map[string]bool{"0.12": false, "0.121": true} {
			s := milling(endMill("T", "10", "3"))
			s.data = []rates.CuttingRow{row}
			f := plainPocket()
			f.FeedMM = ft.Num(entered)
			if got := s.cut(t, f).noted("more than twice the highest"); got != want {
				t.Errorf("%s, %s mm: told %v, want %v", name, entered, got, want)
			}
		}
	}
}

// TestCutsAsNothing: one problem, not one by feature.
func TestCutsAsNothing(t *testing.T) {
	t.Parallel()
	s := milling(endMill("T", "10", "3"))
	s.mat.CuttingAs = "coper"
	_, _, problems := s.build(t, plainPocket(), plainPocket())
	if len(problems) != 1 || problems[0].Field != "material" || !strings.Contains(problems[0].Message, "cuts as coper") {
		t.Errorf("got %v", problems)
	}
}

// TestSlenderTurning: a turned length of more than four times its diameter bends
// where nothing holds its far end, which is common practice and said.
func TestSlenderTurning(t *testing.T) {
	t.Parallel()
	turned := func(length string) bom.Feature {
		return bom.Feature{ID: "T", Name: "shank", Kind: bom.Turn, LengthMM: ft.Num(length), DiameterMM: ft.Num("20"), ToDiameterMM: ft.Num("18"), SpeedMMin: ft.Num("100"), FeedMM: ft.Num("0.1")}
	}
	s := milling(bom.Tool{ID: "TU", Name: "turning tool", Kind: bom.TurningTool})
	const text = "shank is 148 mm long at a diameter of 18 mm, more than four times that: it bends unless its far end is held"
	if !s.cut(t, turned("148")).noted(text) {
		t.Error("no word that a shank of eight times its diameter bends")
	}
	if s.cut(t, turned("72")).noted("bends") {
		t.Error("a shank of four times its diameter is said to bend")
	}
}

// TestStepOverOfABall: the scallops that the roughness allows, or the width of cut asked
// for where that is less.
func TestStepOverOfABall(t *testing.T) {
	t.Parallel()
	s := copper(bom.Tool{ID: "BALL", Name: "ball mill", Kind: bom.BallMill, DiameterMM: ft.Num("6"), Teeth: ft.Num("2")})
	f := mirror("60")
	f.RzUM = ft.Num("1") // 2 × √(6 × 0.001 − 0.001²) = 0.155 mm
	for _, width := range []string{"0.1", "1"} {
		f.WidthOfCutMM = ft.Num(width)
		b := s.cut(t, f)
		want := decimal.Min(ft.Dec(width), b.figure("op/feature/F/with/BALL/scallop-step"))
		if got := b.figure("op/feature/F/with/BALL/step-over"); !got.Equal(want) {
			t.Errorf("at %s mm the step-over is %s, want %s", width, got, want)
		}
	}
}
