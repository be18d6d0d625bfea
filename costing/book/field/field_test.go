package field

import (
	"reflect"
	"strings"
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

func TestReaderIsTold(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ kind, written, want string }{
		{"work_centres", "id: A\nname: a\ndepreciation: 20", `unknown field "depreciation"; did you mean machine_rate_per_h, what an hour of the machine costs without a person`},
		{"work_centres", "id: A\nname: a\nnumber_of_machines: 2", "did you mean machines, how many alike there are; 1 if left out, such as 2?"},
		{"parts", "number: A\nname: a\nkind: made\nweight_g: 2", "did you mean mass_g, the mass of the finished part"},
		{"parts", "number: A\nname: a\nkind: made\nnonsense: 2", "unknown field \"nonsense\"; known here are number, name"},
		{"stocks", "id: A\nname: a\nform: bar\nlength_mm: 2", "material is missing; add this field: what it consists of, such as CU-ETP"},
		{"stocks", "id: A\nname: a\nmaterial: X\nlength_mm: 2", "form is missing; add this field (bar, square, hexagon, tube, extrusion, plate, sheet, near_net): the form it is bought in"},
		{"parts", "number: A\nname: a\nkind: made\nrouting: [{number: 1, name: b}]", "kind is missing; add this field (machining, manual, inspection, packing, outside): what kind of work it is"},
	} {
		k, _ := record.KindOf(c.kind)
		_, _, err := k.Read([]byte(c.written), Hints{})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s\n%v\nwant %s", c.written, err, c.want)
		}
	}
}

func TestSpoken(t *testing.T) {
	t.Parallel()
	for sentence, want := range map[string]string{
		"enter special_direct, or yield of BOX_L": "enter “one-time costs”, or yield of BOX_L",
		"cutting data copper.end_mill.carbide":    "cutting data copper, end mill, carbide",
		"kerfbook.yaml holds 12.5 mm.":            "kerfbook.yaml holds 12.5 mm.",
	} {
		if got := Spoken(sentence); got != want {
			t.Errorf("%q is said as %q", sentence, got)
		}
	}
}
