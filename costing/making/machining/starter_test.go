package machining_test

import (
	"testing"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/rates"
)

// TestStartersCutEachOther: in every material that ships with the program the sets of
// tools to begin with mill, drill, tap, ream, chamfer, turn and part,
// without a row of the shop's own, each feature in more than a third of a
// second and less than ten minutes.
func TestStartersCutEachOther(t *testing.T) {
	t.Parallel()
	all, err := rates.Starters()
	if err != nil {
		t.Fatal(err)
	}
	s := milling()
	s.centre.SpindleMaxPerMin = ft.Num("8000")
	for _, set := range all {
		s.tools = append(s.tools, set.Tools...)
	}
	five, six, eight, two, twenty, thirty, deep := ft.Num("5"), ft.Num("6"), ft.Num("8"), ft.Num("2"), ft.Num("20"), ft.Num("30"), ft.Num("10")
	features := []bom.Feature{
		{ID: "FACE", Name: "face", Kind: bom.Face, LengthMM: thirty, WidthMM: twenty, DepthMM: two},
		{ID: "POCKET", Name: "pocket", Kind: bom.Pocket, LengthMM: thirty, WidthMM: twenty, DepthMM: five},
		{ID: "SLOT", Name: "slot", Kind: bom.Slot, LengthMM: thirty, WidthMM: eight, DepthMM: five},
		{ID: "HOLE", Name: "hole", Kind: bom.Drill, DiameterMM: five, DepthMM: deep},
		{ID: "THREAD", Name: "thread", Kind: bom.Tap, DiameterMM: six, PitchMM: ft.Num("1"), DepthMM: deep},
		{ID: "REAM", Name: "reamed hole", Kind: bom.Ream, DiameterMM: six, DepthMM: deep},
		{ID: "CHAMFER", Name: "chamfer", Kind: bom.Chamfer, PathMM: thirty, WidthMM: ft.Num("0.5")},
		{ID: "TURN", Name: "diameter", Kind: bom.Turn, DiameterMM: thirty, ToDiameterMM: twenty, LengthMM: thirty},
		{ID: "PART", Name: "parting", Kind: bom.PartOff, DiameterMM: twenty},
	}
	for _, starter := range all {
		for _, m := range starter.Materials {
			s.mat = m
			b := s.cut(t, features...)
			for _, f := range features {
				minutes, _ := b.figure("op/feature/" + string(f.ID) + "/cutting").Float64()
				if minutes < 0.3/60 || minutes > 10 {
					t.Errorf("%s of %s takes %g min", f.Name, m.ID, minutes)
				}
			}
		}
	}
}
