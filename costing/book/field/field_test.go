package field

import (
	"reflect"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/book/record"
	"kerfbook/costing/text"
)

func TestWhatFollowsFromTheType(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		kind, path string
		want       Entry
	}{
		{"parts", "number", Entry{Label: "part number", Rank: First, Member: text.Member{Shape: text.ShapeID, Required: true}}},
		{"parts", "mass_g", Entry{Label: "mass", Unit: "g", Rank: Usual, Member: text.Member{Shape: text.ShapeRange, Bounds: "more than 0"}}},
		{"parts", "routing[0].piece_min", Entry{Label: "time of a piece", Unit: "min", Rank: First, Member: text.Member{Shape: text.ShapeRange, Bounds: "0 or more"}}},
		{"parts", "routing.features.count", Entry{Label: "how many", Rank: Usual, Member: text.Member{Shape: text.ShapeWhole, Bounds: "more than 0"}}},
		{"materials", "reclaim_share", Entry{Label: "chips bring of it", Unit: "share", Rank: Rare, Member: text.Member{Shape: text.ShapeRange, Bounds: "0 or more, 1 or less"}}},
		{"products", "trims[2].choices[\"a.b\"]", Entry{Label: "choices", Rank: First, Member: text.Member{Shape: text.ShapeTable, Entry: text.ShapeID}}},
		{"work_centres", "machine_rate_per_h", Entry{Label: "machine rate", Unit: "money per h", Rank: First, Member: text.Member{Shape: text.ShapeRange, Bounds: "0 or more"}}},
		{"offers", "valid_until", Entry{Label: "valid until", Rank: First, Member: text.Member{Shape: text.ShapeDay}}},
	} {
		got, ok := Under(c.kind, c.path)
		if !ok || got.Label != c.want.Label || got.Unit != c.want.Unit || got.Rank != c.want.Rank || got.Shape != c.want.Shape ||
			got.Entry != c.want.Entry || got.Required != c.want.Required || got.Bounds != c.want.Bounds {
			t.Errorf("%s %s is %+v, want %+v", c.kind, c.path, got, c.want)
		}
	}
	for _, path := range []string{"", "nothing", "routing[0].nothing", "number.x", "routing[x"} {
		if got, ok := Under("parts", path); ok {
			t.Errorf("parts %q is %+v", path, got)
		}
	}
}

func TestKindsAreDescribed(t *testing.T) {
	t.Parallel()
	for _, k := range record.Kinds() {
		if _, ok := KindOf(k.Name); !ok {
			t.Errorf("%s: the kind is not described", k.Name)
		}
	}
	if e, ok := Of(reflect.TypeFor[bom.Part](), "kind"); !ok || len(e.Words) != 3 || e.Words[0].Says == "" || e.Example != "made" {
		t.Errorf("the words of a part's kind are %+v", e)
	}
}
