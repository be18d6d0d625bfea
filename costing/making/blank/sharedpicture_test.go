package blank_test

import (
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/making/blank"
)

// TestSharedPictureShapes: discs and rectangles that lie on one sheet are drawn each in its
// own shape, and all of them are there.
func TestSharedPictureShapes(t *testing.T) {
	t.Parallel()
	size := func(mm int64) *bom.Number { n := bom.Whole(mm); return &n }
	plate := bom.Stock{ID: "plate", Form: bom.Plate, LengthMM: bom.Whole(400), WidthMM: size(300), ThicknessMM: size(10)}
	lot := []blank.SharedBlank{
		{Part: "DISC", Def: &bom.Blank{Stock: "plate", DiameterMM: size(90)}, Start: 3, PerStock: 12},
		{Part: "BAR", Def: &bom.Blank{Stock: "plate", LengthMM: size(120), WidthMM: size(50)}, Start: 5, PerStock: 18},
	}
	pictures, err := blank.SharedLayout(lot, &plate)
	if err != nil {
		t.Fatal(err)
	}
	drawn := map[bom.ID]int{}
	for _, p := range pictures {
		for _, a := range p.Areas {
			if a.Role != blank.BlankArea {
				continue
			}
			drawn[a.Part] += int(p.Pieces)
			if a.Round != (a.Part == "DISC") {
				t.Errorf("a blank of %s is round: %t", a.Part, a.Round)
			}
		}
	}
	if drawn["DISC"] != 3 || drawn["BAR"] != 5 {
		t.Errorf("%v are drawn, want 3 discs and 5 bars", drawn)
	}
}
