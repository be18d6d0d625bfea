package machining_test

import (
	"testing"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
)

// TestDeepCutsAreShallow: an end mill that reaches deeper than four times its
// diameter takes less at once, as it bends with the cube of its overhang. Twice the
// overhang bends it eight times as far: source `length-of-cut`; so an
// eighth of the depth bends it as far as before. Bending begins to limit at about
// 4:1: source `tool-deflection`.
func TestDeepCutsAreShallow(t *testing.T) {
	t.Parallel()
	slot := func(depth string) bom.Feature {
		return bom.Feature{ID: "S", Name: "slot", Kind: bom.Slot, LengthMM: ft.Num("60"), WidthMM: ft.Num("2"), DepthMM: ft.Num(depth)}
	}
	inCopper := func(f bom.Feature) built {
		s := milling(endMill("EM2", "2", "3"))
		s.mat.CuttingAs = "copper" // slots one diameter deep
		return s.cut(t, f)
	}
	const levels = "op/feature/S/with/EM2/levels"
	inCopper(slot("8")).want(levels, "4")   // 4 D deep: 2 mm at once
	inCopper(slot("16")).want(levels, "64") // 8 D: an eighth, 0.25 mm
	inCopper(slot("15")).want(levels, "50") // 7.5 D: 2·(8/15)³ = 0.303 mm
	inCopper(slot("8.1")).want(levels, "5") // no step where the limit begins
	inCopper(slot("7.9")).want(levels, "4")

	inCopper(slot("8")).want("op/feature/S/reach-free", "1") // and it is told where it limits
	inCopper(slot("15")).want("op/feature/S/reach-free", "0")

	stated := slot("16")
	stated.DepthOfCutMM = ft.Num("1")
	inCopper(stated).want(levels, "16") // a depth of cut that is stated holds
}
