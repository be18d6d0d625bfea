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
