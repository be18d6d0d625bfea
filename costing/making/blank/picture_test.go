package blank_test

import (
	"fmt"
	"math/big"
	"math/rand/v2"
	"testing"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/making/blank"
)

// drawn draws the layout of a sheet and holds it to what can be cut: the number of
// blanks, all of the size asked for, inside the margins, a gap apart, and turned
// only where that is allowed.
func (s sheet) drawn(t *testing.T, blanks int) {
	t.Helper()
	j := s.job()
	p, err := blank.Layout(&j.blank, &j.stock)
	what := fmt.Sprintf("%+v", s)
	if err != nil {
		t.Errorf("%s: %v", what, err)
		return
	}
	if p.Blanks != blanks || p.Pieces != 1 {
		t.Errorf("%s: %d blanks are drawn, want %d", what, p.Blanks, blanks)
	}
	placed := piecesOf(p, blank.BlankArea)
	if len(placed)+p.Omitted != p.Blanks {
		t.Errorf("%s: %d areas and %d omitted for %d blanks", what, len(placed), p.Omitted, p.Blanks)
	}
	for _, a := range placed {
		s.sized(t, what, a)
	}
	apart(t, what, placed, entry(s.gap), s.d != "")
	aside(t, what, p)
}

func piecesOf(p blank.Picture, role blank.Role) []blank.Area {
	var out []blank.Area
	for _, a := range p.Areas {
		if a.Role == role {
			out = append(out, a)
		}
	}
	return out
}

// sized holds one blank to its size and to the usable part of the sheet.
func (s sheet) sized(t *testing.T, what string, a blank.Area) {
	t.Helper()
	length, width := entry(s.a), entry(s.b)
	if s.d != "" {
		length, width = entry(s.d), entry(s.d)
	}
	if a.Turned {
		length, width = width, length
		if s.grain {
			t.Errorf("%s: a blank is turned against the grain", what)
		}
	}
	if a.Round != (s.d != "") || a.Length.Rat().Cmp(length) != 0 || a.Width.Rat().Cmp(width) != 0 {
		t.Errorf("%s: a blank of %s × %s is drawn", what, a.Length, a.Width)
	}
	low := entry(s.margin)
	highX, highY := ft.Minus(ft.Rat(s.length), low), ft.Minus(ft.Rat(s.width), low)
	if a.X.Rat().Cmp(low) < 0 || a.Y.Rat().Cmp(low) < 0 ||
		ft.Plus(a.X.Rat(), length).Cmp(highX) > 0 || ft.Plus(a.Y.Rat(), width).Cmp(highY) > 0 {
		t.Errorf("%s: the blank at %s, %s leaves the usable sheet", what, a.X, a.Y)
	}
}

// apart wants blanks to be a gap apart: rectangles along or across, discs by the
// distance of their centres, rounded to a thousandth of a millimetre.
func apart(t *testing.T, what string, placed []blank.Area, gap *big.Rat, round bool) {
	t.Helper()
	space, boxes := nano(gap), boxed(placed)
	for i, a := range boxes {
		for k, b := range boxes[:i] {
			if !a.clear(b, space) && !(round && discsApart(placed[i], placed[k], gap)) {
				t.Errorf("%s: the blanks at %s, %s and %s, %s are less than %s apart", what,
					placed[i].X, placed[i].Y, placed[k].X, placed[k].Y, gap.FloatString(4))
				return
			}
		}
	}
}

// nano gives a length in millionths of a millimetre.
func nano(r *big.Rat) int64 {
	n := ft.Times(r, ft.Rat("1000000"))
	return new(big.Int).Quo(n.Num(), n.Denom()).Int64()
}

// box is an area in millionths of a millimetre.
type box struct{ x, y, length, width int64 }

func boxed(areas []blank.Area) []box {
	out := make([]box, len(areas))
	for i, a := range areas {
		out[i] = box{nano(a.X.Rat()), nano(a.Y.Rat()), nano(a.Length.Rat()), nano(a.Width.Rat())}
	}
	return out
}

// clear reports that two areas are a gap apart along or across.
func (b box) clear(c box, gap int64) bool {
	return beyond(b.x, b.length, c.x, c.length, gap) || beyond(b.y, b.width, c.y, c.width, gap)
}

// beyond reports that one of two lengths ends a gap before the other begins.
func beyond(x, length, y, other, gap int64) bool { return x+length+gap <= y || y+other+gap <= x }

func discsApart(a, b blank.Area, gap *big.Rat) bool {
	dx, dy := ft.Minus(a.X.Rat(), b.X.Rat()), ft.Minus(a.Y.Rat(), b.Y.Rat())
	pitch := ft.Minus(ft.Plus(a.Length.Rat(), gap), ft.Rat("0.0021"))
	return ft.Plus(ft.Times(dx, dx), ft.Times(dy, dy)).Cmp(ft.Times(pitch, pitch)) >= 0
}

// aside wants cuts, margins and remnants on the sheet and off the blanks.
func aside(t *testing.T, what string, p blank.Picture) {
	t.Helper()
	placed := piecesOf(p, blank.BlankArea)
	blanks := boxed(placed)
	for _, a := range p.Areas {
		if a.X.IsNegative() || a.Y.IsNegative() || ft.Plus(a.X.Rat(), a.Length.Rat()).Cmp(p.Length.Rat()) > 0 ||
			ft.Plus(a.Y.Rat(), a.Width.Rat()).Cmp(p.Width.Rat()) > 0 {
			t.Errorf("%s: %s at %s, %s of %s × %s leaves the sheet", what, a.Role, a.X, a.Y, a.Length, a.Width)
		}
		if a.Role == blank.BlankArea {
			continue
		}
		at := boxed([]blank.Area{a})[0]
		for i, b := range blanks {
			if !placed[i].Round && !at.clear(b, 0) {
				t.Errorf("%s: %s at %s, %s of %s × %s lies on the blank at %s, %s", what, a.Role, a.X, a.Y, a.Length, a.Width, placed[i].X, placed[i].Y)
				return
			}
		}
	}
}

// TestBarPicture adds the pieces of a bar up to its length: blanks, cuts, trim,
// grip and remnant leave nothing over and overlap nowhere.
func TestBarPicture(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		blank, kerf, trim, grip string
		blanks, cuts            int
		remnant                 string
	}{
		{"43.2", "1.2", "10", "104", 22, 22, "-"}, // 1000 − 10 − 104 = 886 = 19.95 pitches
		{"50", "", "", "", 20, 19, ""},
		{"50", "3", "", "", 18, 18, "46"},
		{"100", "", "", "100", 9, 9, ""},
		{"54.7", "3", "22.1", "", 17, 16, ""}, // 17 blanks and 16 cuts are 977.9
	} {
		j := plain(bom.Bar)
		j.blank = bom.Blank{Stock: "S", LengthMM: ft.Num(c.blank), KerfMM: ft.Num(c.kerf), EndCutMM: ft.Num(c.trim), BarEndMM: ft.Num(c.grip)}
		p, err := blank.Layout(&j.blank, &j.stock)
		if err != nil {
			t.Fatal(err)
		}
		b := j.build(t)
		if n := int(b.get(b.values(), "per-stock").IntPart()); p.Blanks != n {
			t.Errorf("%+v: %d blanks drawn, the figure is %d", c, p.Blanks, n)
		}
		sum := new(big.Rat)
		for _, a := range p.Areas {
			sum = ft.Plus(sum, a.Length.Rat())
		}
		if sum.Cmp(ft.Rat("1000")) != 0 {
			t.Errorf("%+v: the areas add up to %s mm", c, sum.FloatString(4))
		}
		aside(t, fmt.Sprintf("%+v", c), p)
		if c.remnant == "-" {
			continue
		}
		if len(piecesOf(p, blank.BlankArea)) != c.blanks || len(piecesOf(p, blank.Cut)) != c.cuts {
			t.Errorf("%+v: %d blanks and %d cuts", c, len(piecesOf(p, blank.BlankArea)), len(piecesOf(p, blank.Cut)))
		}
		rest := piecesOf(p, blank.Remnant)
		if (len(rest) == 0) != (c.remnant == "") || len(rest) > 0 && rest[0].Length.String() != c.remnant {
			t.Errorf("%+v: the remnant is %v", c, rest)
		}
	}
}

// TestPictureIsBounded: a sheet with millions of blanks is drawn in part, and says
// how much is left out.
func TestPictureIsBounded(t *testing.T) {
	t.Parallel()
	for _, s := range []sheet{
		{length: "3000", width: "1500", a: "1.1", b: "0.7", gap: "0.1"},
		{length: "3000", width: "1500", d: "1"},
		{length: "3000", width: "1500", a: "30", b: "14", gap: "2"},
	} {
		j := s.job()
		p, err := blank.Layout(&j.blank, &j.stock)
		if err != nil {
			t.Fatal(err)
		}
		b := j.build(t)
		if n := int(b.get(b.values(), "per-stock").IntPart()); p.Blanks != n || len(p.Areas) > 4010 || p.Omitted+len(piecesOf(p, blank.BlankArea)) != n {
			t.Errorf("%+v: %d of %d blanks drawn, %d omitted, %d areas", s, p.Blanks, n, p.Omitted, len(p.Areas))
		}
	}
}

// TestPictureRefuses what has no picture.
func TestPictureRefuses(t *testing.T) {
	t.Parallel()
	j := plain(bom.Plate)
	j.blank = bom.Blank{Stock: "S", LengthMM: ft.Num("100")}
	if _, err := blank.Layout(&j.blank, &j.stock); err == nil {
		t.Error("a blank without a width is drawn")
	}
	j.blank.WidthMM = ft.Num("3.14159265358979")
	if _, err := blank.Layout(&j.blank, &j.stock); err == nil {
		t.Error("a width of 15 digits is drawn")
	}
}

// TestOffcutsAreThoseOfThePicture: what is kept of a sheet is what the picture
// shows as left over, as far as it is large enough.
func TestOffcutsAreThoseOfThePicture(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(6, 28))
	kept := map[string]int{}
	for i := range 150 {
		s := sheet{length: tenths(3000 + rng.Int64N(6000)), width: tenths(3000 + rng.Int64N(4000)), margin: tenths(rng.Int64N(100)), gap: tenths(rng.Int64N(60)),
			a: tenths(500 + rng.Int64N(2000)), b: tenths(500 + rng.Int64N(2000)), grain: i%4 == 0}
		if i%5 == 0 {
			s.d, s.a, s.b, s.grain = s.a, "", "", false
		}
		j := s.job()
		j.blank.KeepRemnantMM, j.blank.LeftoverValue = ft.Num(tenths(100+rng.Int64N(900))), ft.Num("0.5")
		p, err := blank.Layout(&j.blank, &j.stock)
		if err != nil || p.Blanks == 0 {
			continue
		}
		area := new(big.Rat)
		for _, a := range piecesOf(p, blank.Remnant) {
			if least := j.blank.KeepRemnantMM.Likely; !a.Length.LessThan(least) && !a.Width.LessThan(least) {
				area = ft.Plus(area, ft.Times(a.Length.Rat(), a.Width.Rat()))
				kept[p.Layout]++
			}
		}
		b := j.build(t)
		whole := ft.Times(ft.Rat(s.length), ft.Rat(s.width))
		b.Want(b.values(), fmt.Sprintf("%+v: share kept of %s", s, p.Layout), b.id("remnant/share"), ft.Over(area, whole))
	}
	for _, layout := range []string{"as drawn", "turned", "mixed", "square rows"} {
		if kept[layout] == 0 {
			t.Errorf("nothing is ever kept of a sheet laid %s; the cases are too tame", layout)
		}
	}
}
