package bom_test

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"kerfbook/bom"
)

// TestFeatureForms: every kind of feature has a form, every field of its form
// exists, and every kind of tool cuts something.
func TestFeatureForms(t *testing.T) {
	t.Parallel()
	fields := map[string]bool{}
	for _, f := range reflect.VisibleFields(reflect.TypeFor[bom.Feature]()) {
		name, _, _ := strings.Cut(f.Tag.Get("book"), ",")
		fields[name] = true
	}
	used := map[bom.ToolKind]bool{}
	for _, word := range bom.FeatureKind("").Values() {
		kind := bom.FeatureKind(word)
		needs, uses := kind.Dimensions()
		empty := bom.Feature{Kind: kind}
		// Fitting an insert is counted by piece alone.
		if kind.Noun() == "" || len(kind.ToolKinds()) == 0 != kind.ByHand() || empty.Lacks() == "" && kind != bom.FitInsert {
			t.Errorf("%s has no form", kind)
		}
		for _, name := range append(needs, uses...) {
			if !fields[name] {
				t.Errorf("%s speaks of a field %s, which no feature has", kind, name)
			}
		}
		for _, tool := range kind.ToolKinds() {
			used[tool] = true
		}
	}
	for _, word := range bom.ToolKind("").Values() {
		if !used[bom.ToolKind(word)] {
			t.Errorf("nothing is cut by a %s", word)
		}
	}
}

// TestFeatureFieldsAreKnown sets every figure of a feature, so that each one is
// refused by a kind that has no use for it: none is forgotten by the check.
func TestFeatureFieldsAreKnown(t *testing.T) {
	t.Parallel()
	one := bom.Whole(1)
	for _, f := range reflect.VisibleFields(reflect.TypeFor[bom.Feature]()) {
		name, _, _ := strings.Cut(f.Tag.Get("book"), ",")
		feature := bom.Feature{ID: "F", Kind: bom.Chamfer, Count: &one, PathMM: &one}
		value := reflect.ValueOf(&feature).Elem().FieldByIndex(f.Index)
		switch value.Interface().(type) {
		case *bom.Number:
			value.Set(reflect.ValueOf(&one))
		case bool:
			value.SetBool(true)
		default:
			continue
		}
		needs, uses := bom.Chamfer.Dimensions()
		faults := feature.Faults()
		if allowed := slices.Contains(append(needs, uses...), name); allowed != (len(faults) == 0) {
			t.Errorf("a chamfer with %s: %v", name, faults)
		}
	}
}

func TestMaterialOf(t *testing.T) {
	t.Parallel()
	parts := []bom.Part{
		{Number: "CU", Kind: bom.Made, Blank: &bom.Blank{Stock: "bar"}}, {Number: "AL", Kind: bom.Made, Blank: &bom.Blank{Stock: "rod"}},
		{Number: "SCREW", Kind: bom.Bought},
		{Number: "ONE", Kind: bom.Assembly, Children: []bom.Child{{Part: "CU"}, {Part: "SCREW"}}},
		{Number: "TWO", Kind: bom.Assembly, Children: []bom.Child{{Part: "ONE"}, {Part: "AL"}}},
		{Number: "LOOP", Kind: bom.Assembly, Children: []bom.Child{{Part: "LOOP"}, {Part: "CU"}}},
		{Number: "LOST", Kind: bom.Assembly, Children: []bom.Child{{Part: "GONE"}}},
		{Number: "BARE", Kind: bom.Made, Blank: &bom.Blank{Stock: "tube"}}, {Number: "NONE", Kind: bom.Made, Blank: &bom.Blank{Stock: "sheet"}},
		{Number: "HALF", Kind: bom.Assembly, Children: []bom.Child{{Part: "CU"}, {Part: "NONE"}}},
	}
	stocks := []bom.Stock{{ID: "bar", Material: "copper"}, {ID: "rod", Material: "aluminium"}, {ID: "tube"}}
	index := bom.PartsByNumber(parts)
	for number, want := range map[bom.ID][2]bom.ID{"CU": {"copper"}, "ONE": {"copper"}, "TWO": {}, "SCREW": {}, "LOOP": {"copper"}, "LOST": {"", "GONE"},
		"BARE": {"", "tube"}, "NONE": {"", "sheet"}, "HALF": {"", "sheet"}} {
		if got, lost := bom.MaterialOf(index[number], index, stocks); got != want[0] || lost != want[1] {
			t.Errorf("%s consists of %q without %q, want %q", number, got, lost, want)
		}
	}
}

// TestToolsOfSmallWork: why a tool of a right kind cannot cut a feature of a lathe or a
// hole, and where it can.
func TestToolsOfSmallWork(t *testing.T) {
	t.Parallel()
	blade := bom.Tool{Kind: bom.PartingBlade, WidthMM: mm("2")}
	inside := bom.Tool{Kind: bom.PartingBlade, WidthMM: mm("2"), DiameterMM: mm("16")}
	bar, turning := bom.Tool{Kind: bom.BoringTool, DiameterMM: mm("10")}, bom.Tool{Kind: bom.TurningTool}
	groove := bom.Feature{Kind: bom.Groove, DiameterMM: mm("40"), ToDiameterMM: mm("36"), WidthMM: mm("3")}
	deep, undercut, slim := groove, groove, groove
	deep.ToDiameterMM, undercut.ToDiameterMM, slim.WidthMM = mm("6"), mm("44"), mm("1.9")
	mouth := bom.Feature{Kind: bom.TurnProfile, DiameterMM: mm("9"), ToDiameterMM: mm("11"), LengthMM: mm("1")}
	edge := bom.Feature{Kind: bom.TurnProfile, DiameterMM: mm("20"), ToDiameterMM: mm("18"), LengthMM: mm("1")}
	nut := bom.Feature{Kind: bom.ThreadTurn, DiameterMM: mm("17"), PitchMM: mm("1.5"), LengthMM: mm("9"), Inside: true}
	for _, c := range []struct {
		tool    bom.Tool
		feature bom.Feature
		want    string
	}{
		{blade, groove, ""}, {blade, undercut, "cuts outside; for a hole enter a tool with diameter_mm, the smallest hole it enters"},
		{inside, undercut, ""}, {inside, groove, "cuts inside a hole, and this is cut from outside"},
		{inside, bom.Feature{Kind: bom.PartOff, DiameterMM: mm("20")}, "cuts inside a hole, since it has a diameter_mm"},
		{blade, deep, "of width 2 mm cuts no groove deeper than eight times that, and it is 17.0 mm deep"},
		{blade, slim, "has a width of 2 mm, which is wider than the groove of 1.9 mm"},
		{turning, edge, ""}, {bar, edge, "cuts inside a hole, and this is cut from outside"}, {bar, mouth, "has a diameter of 10 mm, which is wider than the hole before the cut of 9 mm"},
		{bom.Tool{Kind: bom.ThreadingTool, PitchMM: mm("2"), DiameterMM: mm("12")}, nut, "cuts a pitch of 2 mm, and 1.5 mm is wanted"},
		{bom.Tool{Kind: bom.ThreadingTool, DiameterMM: mm("16")}, nut, "has a diameter of 16 mm, which is wider than the hole before the thread of 15.376 mm"},
		{bom.Tool{Kind: bom.ThreadingTool, DiameterMM: mm("15")}, nut, ""},
		{bom.Tool{Kind: bom.SpotDrill, DiameterMM: mm("3")}, bom.Feature{Kind: bom.Spot, DiameterMM: mm("4")}, "of diameter 3 mm leaves no cone of 4 mm"},
		{bom.Tool{Kind: bom.SpotDrill, DiameterMM: mm("8"), PointAngleDeg: mm("180")}, bom.Feature{Kind: bom.Spot, DiameterMM: mm("4")}, "has a flat point of 180°, which leaves no cone"},
		{bom.Tool{Kind: bom.Reamer, DiameterMM: mm("8")}, bom.Feature{Kind: bom.Ream, DiameterMM: mm("6"), DepthMM: mm("9")}, "cuts a diameter of 8 mm, and 6 mm is wanted"},
	} {
		if got := c.tool.Misfit(&c.feature, "M"); got != c.want {
			t.Errorf("%s for %s: %q, want %q", c.tool.Kind, c.feature.Kind, got, c.want)
		}
	}
}

// TestFeatureOfTheOtherMachine: a chamfer or a face that is described as on a lathe, and
// the other way round, is told the kind that is meant.
func TestFeatureOfTheOtherMachine(t *testing.T) {
	t.Parallel()
	n := bom.Whole(10)
	for _, c := range []struct {
		f    bom.Feature
		want string
	}{
		{bom.Feature{Kind: bom.Chamfer, DiameterMM: &n}, "a chamfer has no diameter_mm; delete it, or make its kind turn_profile, which has one"},
		{bom.Feature{Kind: bom.Face, DiameterMM: &n}, "a face has no diameter_mm; delete it, or make its kind face_turn, which has one"},
		{bom.Feature{Kind: bom.Groove, DepthMM: &n}, "a groove has no depth_mm; delete it, or make its kind slot, which has one"},
		{bom.Feature{Kind: bom.Chamfer, Inside: true}, "a chamfer has no inside; delete it"},
	} {
		if faults := c.f.Faults(); len(faults) == 0 || faults[0].Message != c.want {
			t.Errorf("%s: %v", c.f.Kind, faults)
		}
	}
	for _, word := range bom.FeatureKind("").Values() {
		if like := bom.FeatureKind(word).Like(); like != "" && like.Noun() == "" {
			t.Errorf("%s is like %s, which is no kind", word, like)
		}
	}
}
