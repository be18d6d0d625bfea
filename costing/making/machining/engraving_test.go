package machining_test

import (
	"math"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
)

// engraving has a single-lip engraver of 0.3 mm at its tip, one that widens, and a
// ball mill of 6 mm, which is much faster.
func engraving() shop {
	s := copper(bom.Tool{ID: "TIP", Name: "engraver 0.3", Kind: bom.Engraver, DiameterMM: ft.Num("0.3")},
		bom.Tool{ID: "VEE", Name: "engraver 0.2, 60°", Kind: bom.Engraver, DiameterMM: ft.Num("0.2"), PointAngleDeg: ft.Num("60")},
		bom.Tool{ID: "BALL", Name: "ball mill 6", Kind: bom.BallMill, DiameterMM: ft.Num("6"), Teeth: ft.Num("2")})
	s.mat.CuttingAs = "brass"
	return s
}

func logo(width string) bom.Feature {
	f := bom.Feature{ID: "F", Name: "logo", Kind: bom.Engrave, PathMM: ft.Num("640"), DepthMM: ft.Num("0.15")}
	if width != "" {
		f.WidthMM = ft.Num(width)
	}
	return f
}

// TestLineOfItsWidth: a tool that cuts wider than the line does not suit, though it
// is faster; one that cuts narrower takes passes beside one another.
func TestLineOfItsWidth(t *testing.T) {
	t.Parallel()
	s := engraving()
	for _, c := range []struct {
		width string
		suits string // BALL TIP VEE
	}{{"0.3", "TIP"}, {"0.38", "TIP VEE"}, {"1.8", "TIP VEE"}, {"1.9", "BALL TIP VEE"}} {
		b := s.cut(t, logo(c.width))
		var got []string
		for _, id := range []string{"BALL", "TIP", "VEE"} {
			if b.Has("op/feature/F/with/" + id + "/cutting") {
				got = append(got, id)
			}
		}
		if strings.Join(got, " ") != c.suits {
			t.Errorf("a line of %s mm is cut by %v, want %s", c.width, got, c.suits)
		}
	}
	one, four := s.cut(t, logo("0.3")), s.cut(t, logo("1"))
	one.want("op/feature/F/with/TIP/side", "1")
	four.want("op/feature/F/with/TIP/side", "4") // 1 ÷ 0.3
	if single, all := one.figure("op/feature/F/with/TIP/path"), four.figure("op/feature/F/with/TIP/path"); !all.Equal(single.Mul(decimal.NewFromInt(4))) {
		t.Errorf("the path is %s in one pass and %s in four", single, all)
	}
	_, _, problems := s.build(t, logo("0.2"))
	if len(problems) != 1 || !strings.Contains(problems[0].Message, "BALL cuts a line of 1.8735 mm at a depth of 0.15 mm, which is wider than the line of 0.2 mm") {
		t.Errorf("got %v", problems)
	}
}

// TestWidthOfALine: 0.2 + 2 · 0.15 · tan 30° = 0.373205 mm; the chord of a circle of
// 6 mm at a height of 0.15 mm, 2 · √(0.15 · 5.85) = 1.873499 mm (Euclid III.35: the
// product of the parts of a chord is that of the parts of the diameter across it);
// deeper than its radius a ball cuts its diameter.
func TestWidthOfALine(t *testing.T) {
	t.Parallel()
	s := engraving()
	b := s.cut(t, logo(""))
	b.want("op/feature/F/with/TIP/line-width", "0.3")
	b.want("op/feature/F/with/VEE/line-width", "0.373205")
	b.want("op/feature/F/with/BALL/line-width", "1.873499")
	for depth, want := range map[string]float64{"0.15": 1.873499, "2.9": 5.996666, "3": 6, "4": 6} {
		if got := s.tools[2].LineWidth(ft.Num(depth)); math.Abs(got-want) > 1e-6 {
			t.Errorf("a ball of 6 mm at %s mm cuts %v mm, want %v", depth, got, want)
		}
		f := logo("")
		f.DepthMM = ft.Num(depth)
		s.cut(t, f).want("op/feature/F/with/BALL/line-width", decimal.NewFromFloat(want).StringFixed(6))
	}
}

// TestNoWidthIsSaid: without a width every tool counts, which is said with the width
// that each makes; with one nothing is.
func TestNoWidthIsSaid(t *testing.T) {
	t.Parallel()
	b := engraving().cut(t, logo(""))
	if !b.noted("no width_mm is entered for logo, so that no tool is too wide for its lines: ball mill 6 cuts 1.8735 mm, engraver 0.3 cuts 0.3 mm, engraver 0.2, 60° cuts 0.3733 mm") {
		t.Errorf("got %v", b.Graph.Findings())
	}
	if !b.figure("op/feature/F/line-width").Equal(b.figure("op/feature/F/with/BALL/line-width")) {
		t.Error("the width is not that of the tool chosen")
	}
	if engraving().cut(t, logo("2")).noted("no width_mm") {
		t.Error("a width is entered, and said to be missing")
	}
}

// TestTriedOutLine: a width that is tried out and that the tool chosen does not keep
// is told by a check.
func TestTriedOutLine(t *testing.T) {
	t.Parallel()
	b := engraving().cut(t, logo("0.3"))
	for width, want := range map[string]string{"0.3": "1", "0.29": "0"} {
		b.tried(map[string]string{"op/feature/F/width": width}).want("op/feature/F/tool-fits", want)
	}
}

// TestFlatPoint: a point of 180° has no width at a depth.
func TestFlatPoint(t *testing.T) {
	t.Parallel()
	s := engraving()
	s.tools = s.tools[:2]
	s.tools[1].PointAngleDeg = ft.Num("180")
	if b := s.cut(t, logo("")); b.Has("op/feature/F/with/VEE/cutting") {
		t.Error("a point of 180° engraves")
	}
}
