package bom_test

import (
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
)

func mm(text string) *bom.Number {
	n := bom.Exactly(decimal.RequireFromString(text))
	return &n
}

// TestOutgrown: each kind of feature is held to the piece in its own way, and fits
// where it is just as large.
func TestOutgrown(t *testing.T) {
	t.Parallel()
	stocks := []bom.Stock{
		{ID: "rod", Form: bom.Bar, LengthMM: *mm("3000"), DiameterMM: mm("30")},
		{ID: "flat", Form: bom.Bar, LengthMM: *mm("3000"), WidthMM: mm("60"), ThicknessMM: mm("20")},
		{ID: "plate", Form: bom.Plate, LengthMM: *mm("1000"), WidthMM: mm("500"), ThicknessMM: mm("12")},
	}
	rod := &bom.Blank{Stock: "rod", LengthMM: mm("50")}
	flat := &bom.Blank{Stock: "flat", LengthMM: mm("100")}
	disc := &bom.Blank{Stock: "plate", DiameterMM: mm("80")}
	for _, c := range []struct {
		name  string
		blank *bom.Blank
		f     bom.Feature
		field string
		fits  bool
	}{
		{"turned as large as the rod", rod, bom.Feature{Kind: bom.Turn, LengthMM: mm("50"), DiameterMM: mm("30"), ToDiameterMM: mm("28")}, "", true},
		{"turned longer", rod, bom.Feature{Kind: bom.Turn, LengthMM: mm("50.1"), DiameterMM: mm("30"), ToDiameterMM: mm("28")}, "length_mm", false},
		{"turned from a larger diameter", rod, bom.Feature{Kind: bom.Turn, LengthMM: mm("10"), DiameterMM: mm("31"), ToDiameterMM: mm("28")}, "diameter_mm", false},
		{"a disc turned beyond its thickness", disc, bom.Feature{Kind: bom.Turn, LengthMM: mm("12.5"), DiameterMM: mm("80"), ToDiameterMM: mm("70")}, "length_mm", false},
		{"a face turned too deep", rod, bom.Feature{Kind: bom.FaceTurn, DiameterMM: mm("30"), DepthMM: mm("51")}, "depth_mm", false},
		{"parted off a larger bar", rod, bom.Feature{Kind: bom.PartOff, DiameterMM: mm("32")}, "diameter_mm", false},
		{"bored wider", rod, bom.Feature{Kind: bom.Bore, DiameterMM: mm("20"), ToDiameterMM: mm("30.1"), DepthMM: mm("50")}, "", false},
		{"bored through", rod, bom.Feature{Kind: bom.Bore, DiameterMM: mm("20"), ToDiameterMM: mm("24"), DepthMM: mm("50")}, "", true},
		{"turned from a flat bar", flat, bom.Feature{Kind: bom.Turn, LengthMM: mm("100"), DiameterMM: mm("64"), ToDiameterMM: mm("20")}, "", true},
		{"more left than the flat bar holds", flat, bom.Feature{Kind: bom.Turn, LengthMM: mm("100"), DiameterMM: mm("64"), ToDiameterMM: mm("21")}, "", false},
		{"drilled along", flat, bom.Feature{Kind: bom.Drill, DiameterMM: mm("5"), DepthMM: mm("100")}, "", true},
		{"drilled too deep", flat, bom.Feature{Kind: bom.Drill, DiameterMM: mm("5"), DepthMM: mm("101")}, "depth_mm", false},
		{"a thread too wide", flat, bom.Feature{Kind: bom.ThreadMill, DiameterMM: mm("61"), DepthMM: mm("10")}, "", false},
		{"fins longer", flat, bom.Feature{Kind: bom.SlotArray, LengthMM: mm("101"), WidthMM: mm("60"), DepthMM: mm("10")}, "length_mm", false},
		{"a path may be long", flat, bom.Feature{Kind: bom.Contour, PathMM: mm("4000"), DepthMM: mm("20")}, "", true},
		{"a contour too deep", flat, bom.Feature{Kind: bom.Contour, PathMM: mm("10"), DepthMM: mm("101")}, "depth_mm", false},
		{"a chamfer", flat, bom.Feature{Kind: bom.Chamfer, PathMM: mm("4000"), WidthMM: mm("500")}, "", true},
	} {
		room, known := bom.RoomOf(&bom.Part{Blank: c.blank}, stocks)
		if !known {
			t.Fatal("the blank is not known")
		}
		faults := room.Outgrown(&c.f)
		if len(faults) == 0 != c.fits || len(faults) > 0 && faults[0].Field != c.field {
			t.Errorf("%s: got %v, want a fault of %q: %v", c.name, faults, c.field, !c.fits)
		}
	}
	for _, p := range []*bom.Part{nil, {Kind: bom.Assembly}, {Blank: &bom.Blank{Stock: "gone"}}, {Blank: &bom.Blank{Stock: "flat"}}} {
		if _, known := bom.RoomOf(p, stocks); known {
			t.Errorf("the piece of %v is known", p)
		}
	}
}

// TestCutUnlike: a range is alike only with one of the same ends, and no number is 0.
func TestCutUnlike(t *testing.T) {
	t.Parallel()
	between := func(low, high string) *bom.Number {
		n := bom.Exactly(decimal.RequireFromString("3"))
		n.IsRange, n.Low, n.High = true, decimal.RequireFromString(low), decimal.RequireFromString(high)
		return &n
	}
	for _, c := range []struct {
		what string
		a, b *bom.Number
		want string
	}{
		{"none and 0", nil, mm("0"), ""},
		{"none and 3", nil, mm("3"), "kerf_mm"},
		{"the same range", between("2", "4"), between("2", "4"), ""},
		{"another low end", between("2", "4"), between("2.5", "4"), "kerf_mm"},
		{"another high end", between("2", "4"), between("2", "5"), "kerf_mm"},
		{"a range and its likely value", between("2", "4"), mm("3"), "kerf_mm"},
	} {
		if got := (&bom.Blank{KerfMM: c.a}).CutUnlike(&bom.Blank{KerfMM: c.b}); got != c.want {
			t.Errorf("%s: %q, want %q", c.what, got, c.want)
		}
	}
}
