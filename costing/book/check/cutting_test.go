package check_test

import (
	"strings"
	"testing"

	"kerfbook/costing/book"
	"kerfbook/costing/book/booktest"
	"kerfbook/costing/book/check"
)

// cuttingBook describes a part by features, without a fault.
const cuttingBook = `kerfbook: 1
name: shop
country: "PT"
currency: EUR
rate_cards: [{id: card, from: 2026-01-01}]
work_centres: [{id: MILL, name: mill, machine_rate_per_h: 0, labour_rate_per_h: 0}, {id: LATHE, name: lathe}]
materials:
  - {id: CU, name: copper, density_g_cm3: 8.9, cutting_as: copper}
  - {id: X, name: unheard of, density_g_cm3: 8.9}
suppliers: [{id: S, name: supplier}]
stocks: [{id: BAR, name: bar, material: CU, form: bar, length_mm: 3000, width_mm: 60, thickness_mm: 20}]
tools:
  - {id: EM8, name: end mill, kind: end_mill, diameter_mm: 8, teeth: 3, reach_mm: 20, edge_cost: 0}
  - {id: SAW, name: saw, kind: slitting_saw, diameter_mm: 80, width_mm: 1, teeth: 64, edge_cost: 0}
  - {id: DR, name: drill, kind: drill, edge_cost: 0, diameter_mm: 5}
  - {id: FLY, name: fly cutter, kind: fly_cutter, diameter_mm: 70, nose_radius_mm: 0.8, edge_cost: 0}
cutting_data:
  - {id: own, material: CU, tool: end_mill, speed_m_min: {low: 100, likely: 150, high: 200}, from: 2026-01-01, source: trials}
factors:
  - {id: f1, work_centre: MILL, feature: pocket, minutes: 1.1, from: 2026-01-01, source: stopwatch}
offers: [{for: BAR, supplier: S, unit: piece, currency: EUR, breaks: [{from: 1, price: 100}]}]
parts:
  - number: A
    name: part
    kind: made
    blank: {stock: BAR, length_mm: 62, kerf_mm: 0}
    routing:
      - number: 10
        name: mill
        kind: machining
        work_centre: MILL
        features:
          - {id: P, name: pocket, kind: pocket, length_mm: 40, width_mm: 20, depth_mm: 8}
          - {id: S, name: fins, kind: slot_array, length_mm: 60, width_mm: 60, depth_mm: 12, slot_width_mm: 1.5, fin_width_mm: 1}
          - {id: D, name: hole, kind: drill, diameter_mm: 5, depth_mm: 10, through: true}
          - {id: M, name: mirror, kind: finish_face, length_mm: 60, width_mm: 60, rz_um: 1}
`

// checkCutting gives the problems of the book with replacements made.
func checkCutting(t *testing.T, replacements ...string) []check.Problem {
	t.Helper()
	b, places := booktest.Placed(t, booktest.Replaced(t, cuttingBook, replacements))
	return check.Book(b, places, "2026-11-25")
}

func TestCheckCutting(t *testing.T) {
	t.Parallel()
	if problems := checkCutting(t); len(problems) > 0 {
		t.Fatalf("the book has problems: %v", problems)
	}
	const op = "parts[0].routing[0]"
	for _, c := range []struct {
		name          string
		edits         []string
		path, message string
	}{
		{"longer than the blank", []string{"length_mm: 40, width_mm: 20", "length_mm: 440, width_mm: 20"}, op + ".features[0].length_mm", "440 has no room in the blank of 62 × 60 × 20 mm"},
		{"too large whichever way it lies", []string{"length_mm: 40, width_mm: 20, depth_mm: 8", "length_mm: 60, width_mm: 60, depth_mm: 25"}, op + ".features[0]", "a pocket of this size has no room in the blank of 62 × 60 × 20 mm, whichever way it lies"},
		{"hole deeper than the blank is long", []string{"depth_mm: 10, through", "depth_mm: 63, through"}, op + ".features[2].depth_mm", "63 has no room"},
		{"corner larger than half the side", []string{"depth_mm: 8}", "depth_mm: 8, corner_radius_mm: 10.5}"}, op + ".features[0].corner_radius_mm", "10.5 is more than half the width of 20 mm"},
		{"turned longer than the blank", []string{"kind: pocket, length_mm: 40, width_mm: 20, depth_mm: 8", "kind: turn, length_mm: 63, diameter_mm: 20, to_diameter_mm: 18"}, op + ".features[0].length_mm", "63 has no room"},
		{"turned from more than the bar", []string{"width_mm: 60, thickness_mm: 20", "diameter_mm: 60", "kind: pocket, length_mm: 40, width_mm: 20, depth_mm: 8", "kind: turn, length_mm: 40, diameter_mm: 61, to_diameter_mm: 58"}, op + ".features[0].diameter_mm", "61 has no room in the blank of diameter 60 mm and length 62 mm"},
		{"a saw that reaches its arbor", []string{"teeth: 64, edge_cost: 0}", "teeth: 64, edge_cost: 0, reach_mm: 40}"}, "tools[1].reach_mm", "enter a reach below 40.0 mm"},
		{"data for nothing known", []string{"id: own, material: CU", "id: own, material: CO"}, "cutting_data[0].material", "known are CU, X, abs, acrylic, "},
		{"cutter wider than the slot", []string{"slot_width_mm: 1.5", "slot_width_mm: 0.8"}, op + ".features[1]", "SAW has a width of 1 mm, which is wider than the slot of 0.8 mm"},
		{"deeper than the reach", []string{"depth_mm: 8}", "depth_mm: 21}"}, op + ".features[0]", "EM8 reaches 20 mm deep, and the depth is 21 mm"},
		{"deeper than the saw", []string{"depth_mm: 12", "depth_mm: 40"}, op + ".features[1]", "SAW of diameter 80 mm does not cut 40 mm deep"},
		{"corner too tight", []string{"depth_mm: 8}", "depth_mm: 8, corner_radius_mm: 3}"}, op + ".features[0]", "leaves a larger corner than the radius of 3 mm"},
		{"no drill of the size", []string{"kind: drill, diameter_mm: 5, depth", "kind: drill, diameter_mm: 5.5, depth"}, op + ".features[2]", "DR cuts a diameter of 5 mm, and 5.5 mm is wanted"},
		{"unknown tool", []string{"rz_um: 1}", "rz_um: 1, tools: [FLI]}"}, op + ".features[3].tools[0]", "there is no tool FLI; did you mean FLY?"},
		{"named tool of another kind", []string{"rz_um: 1}", "rz_um: 1, tools: [SAW]}"}, op + ".features[3]", "SAW is a slitting saw, and a finished face is cut by a fly cutter or"},
		{"no tool of the kind", []string{"kind: pocket, length_mm: 40, width_mm: 20, depth_mm: 8", "kind: chamfer, path_mm: 40"}, op + ".features[0]", "4 tools are of another kind; a chamfer is cut by a chamfer mill"},
		{"tool kept elsewhere", []string{"reach_mm: 20, edge_cost: 0}", "work_centres: [LATHE]}"}, op + ".features[0]", "EM8 is not kept at MILL"},
		{"no cutting data", []string{"material: CU, form", "material: X, form", "material: CU, tool", "material: X, tool"}, op + ".features[1]", "SAW has no cutting data for X (a slitting saw of carbide); add a row to cutting_data, or cutting_as to the material"},
		{"no feed", []string{"material: CU, form", "material: X, form", "material: CU, tool", "material: X, tool"}, op + ".features[0]", "EM8 has no feed for X"},
		{"unknown material of an operation", []string{"work_centre: MILL\n        features", "work_centre: MILL\n        material: CI\n        features"}, op + ".material", "there is no material CI; did you mean CU?"},
		{"a share of nothing", []string{"cutting_as: copper", "cutting_share: 0.8"}, "materials[0].cutting_share", "give cutting_as too"},
		{"cuts as nothing known", []string{"cutting_as: copper", "cutting_as: coper"}, "materials[0].cutting_as", "there is no material of the book or of the reference rows coper; did you mean copper?; known are CU, X, abs, acrylic, aluminium-2024, "},
		{"a dimension missing", []string{"depth_mm: 8}", "}"}, op + ".features[0]", "a pocket needs depth_mm"},
		{"a dimension of no use", []string{"depth_mm: 8}", "depth_mm: 8, fin_width_mm: 2}"}, op + ".features[0].fin_width_mm", "a pocket has no fin_width_mm; delete it"},
		{"roughness on a hole", []string{"through: true}", "ra_um: 3.2}"}, op + ".features[2].ra_um", "a drilled hole takes no roughness; ask it of a finish_face"},
		{"two roughnesses", []string{"rz_um: 1}", "rz_um: 1, ra_um: 0.2}"}, op + ".features[3].ra_um", "keep rz_um or ra_um"},
		{"no slot has room", []string{"slot_width_mm: 1.5, fin_width_mm: 1}", "slot_width_mm: 1.5, fin_width_mm: 30}"}, op + ".features[1].slot_width_mm", "no slot of 1.5 mm has room in a width of 60 mm with fins of 30 mm"},
		{"nothing left to cut", []string{"depth_mm: 8}", "depth_mm: 8, allowance_mm: 8}"}, op + ".features[0].allowance_mm", "leaves nothing to cut"},
		{"turned larger", []string{"kind: pocket, length_mm: 40, width_mm: 20, depth_mm: 8", "kind: turn, length_mm: 40, diameter_mm: 20, to_diameter_mm: 22"}, op + ".features[0].to_diameter_mm", "22 is not less than diameter_mm 20"},
		{"bored smaller", []string{"kind: pocket, length_mm: 40, width_mm: 20, depth_mm: 8", "kind: bore, depth_mm: 40, diameter_mm: 20, to_diameter_mm: 18"}, op + ".features[0].to_diameter_mm", "boring makes a hole larger"},
		{"minutes beside features", []string{"work_centre: MILL\n        features", "work_centre: MILL\n        cutting_min: 3\n        features"}, op + ".cutting_min", "follows from the features; delete it"},
		{"load beside features", []string{"work_centre: MILL\n        features", "work_centre: MILL\n        load_min: 3\n        features"}, op + ".load_min", "enter load_handling_min and probing_min in its place"},
		{"features by hand", []string{"kind: machining", "kind: manual"}, op + ".features", "only an operation of kind machining has features that a tool cuts"},
		{"a groove of no depth", []string{"kind: pocket, length_mm: 40, width_mm: 20, depth_mm: 8", "kind: groove, diameter_mm: 22, to_diameter_mm: 22, width_mm: 3"}, op + ".features[0].to_diameter_mm", "22 is diameter_mm again, so that nothing is cut"},
		{"a profile shorter than straight", []string{"kind: pocket, length_mm: 40, width_mm: 20, depth_mm: 8", "kind: turn_profile, diameter_mm: 20, to_diameter_mm: 10, length_mm: 12, path_mm: 12.9"}, op + ".features[0].path_mm", "12.9 is shorter than the straight line between both ends, over 12 mm of length and 5.0 mm of radius"},
		{"a thread without a pitch", []string{"kind: pocket, length_mm: 40, width_mm: 20, depth_mm: 8", "kind: thread_turn, diameter_mm: 20, length_mm: 12"}, op + ".features[0]", "a turned thread needs pitch_mm"},
		{"no threading tool", []string{"kind: pocket, length_mm: 40, width_mm: 20, depth_mm: 8", "kind: thread_turn, diameter_mm: 20, length_mm: 12, pitch_mm: 1.5"}, op + ".features[0]", "4 tools are of another kind; a turned thread is cut by a threading tool"},
		{"a ring without a hole", []string{"kind: pocket, length_mm: 40, width_mm: 20, depth_mm: 8", "kind: circular_pocket, diameter_mm: 20, width_mm: 10, depth_mm: 8"}, op + ".features[0].width_mm", "leaves no hole in a diameter of 20"},
		{"a mill too large to circle", []string{"kind: pocket, length_mm: 40, width_mm: 20, depth_mm: 8", "kind: circular_pocket, diameter_mm: 8, depth_mm: 8"}, op + ".features[0]", "EM8 of diameter 8 mm has no room to circle in 8 mm"},
		{"a counterbore with a point", []string{"kind: pocket, length_mm: 40, width_mm: 20, depth_mm: 8", "kind: counterbore, diameter_mm: 5, depth_mm: 4, to_diameter_mm: 3"}, op + ".features[0]", "DR leaves a cone at the bottom; a flat one has a point_angle_deg of 180"},
		{"a counterbore smaller than its hole", []string{"kind: pocket, length_mm: 40, width_mm: 20, depth_mm: 8", "kind: counterbore, diameter_mm: 9, depth_mm: 4, to_diameter_mm: 9"}, op + ".features[0].to_diameter_mm", "9 is not less than diameter_mm 9"},
		{"a countersink with a depth", []string{"kind: pocket, length_mm: 40, width_mm: 20, depth_mm: 8", "kind: countersink, diameter_mm: 9, depth_mm: 4"}, op + ".features[0].depth_mm", "it follows from the diameter and point_angle_deg of the tool"},
		{"a saw cut through nothing", []string{"kind: pocket, length_mm: 40, width_mm: 20, depth_mm: 8", "kind: saw_cut, width_mm: 65"}, op + ".features[0]", "needs diameter_mm of a round bar, or width_mm and depth_mm of any other"},
		{"a saw cut through two", []string{"kind: pocket, length_mm: 40, width_mm: 20, depth_mm: 8", "kind: saw_cut, width_mm: 65, depth_mm: 35, diameter_mm: 40"}, op + ".features[0].diameter_mm", "keep one or the other"},
		{"a knurl longer than the blank", []string{"kind: pocket, length_mm: 40, width_mm: 20, depth_mm: 8", "kind: knurl, diameter_mm: 20, length_mm: 63"}, op + ".features[0].length_mm", "63 has no room"},
		{"a tool for hands", []string{"kind: pocket, length_mm: 40, width_mm: 20, depth_mm: 8", "kind: deburr, path_mm: 40, tools: [EM8]"}, op + ".features[0].tools", "deburring by hand asks for no tool of the book; delete it"},
		{"hands at a cutting speed", []string{"kind: pocket, length_mm: 40, width_mm: 20, depth_mm: 8", "kind: deburr, path_mm: 40, speed_m_min: 20"}, op + ".features[0].speed_m_min", "deburring by hand has no speed_m_min; delete it"},
		{"marking by lines", []string{"kind: pocket, length_mm: 40, width_mm: 20, depth_mm: 8", "kind: mark, characters: 4, path_mm: 40"}, op + ".features[0].path_mm", "lines that a cutter follows are of kind engrave"},
		{"polishing of no area", []string{"kind: pocket, length_mm: 40, width_mm: 20, depth_mm: 8", "kind: polish"}, op + ".features[0]", "polishing needs area_dm2"},
		{"feature id twice", []string{"id: S, name: fins", "id: P, name: fins"}, op + ".features[1].id", "P is used twice"},
		{"data without a source", []string{", source: trials", ""}, "cutting_data[0]", "cutting data need a source"},
		{"feed twice", []string{"from: 2026-01-01, source: trials", "feed_mm: 0.1, feed_per_diameter: 0.01, from: 2026-01-01, source: trials"}, "cutting_data[0].feed_per_diameter", "is given beside feed_mm"},
		{"life twice", []string{"teeth: 3,", "teeth: 3, life_min: 30, taylor_n: 0.2, taylor_c: 300,"}, "tools[0].life_min", "beside taylor_n and taylor_c"},
		{"half of Taylor", []string{"teeth: 3,", "teeth: 3, taylor_n: 0.2,"}, "tools[0]", "needs taylor_n and taylor_c"},
		{"a saw without its width", []string{"diameter_mm: 80, width_mm: 1,", "diameter_mm: 80,"}, "tools[1]", "a slitting saw needs width_mm"},
		{"a drill with a pitch", []string{"edge_cost: 0, diameter_mm: 5}", "edge_cost: 0, diameter_mm: 5, pitch_mm: 1}"}, "tools[2].pitch_mm", "a drill has no pitch_mm"},
		{"no edge cost", []string{"reach_mm: 20, edge_cost: 0", "reach_mm: 20"}, "tools[0]", "no edge_cost is entered, so wear of end mill costs nothing; a written 0 says that it is meant"},
		{"edge cost without a life", []string{"reach_mm: 20, edge_cost: 0", "reach_mm: 20, edge_cost: 4"}, "tools[0].edge_cost", "costs nothing until its life is known"},
		{"factor at no work centre", []string{"work_centre: MILL, feature", "work_centre: MIL, feature"}, "factors[0].work_centre", "did you mean MILL?"},
		{"factor of nothing", []string{"minutes: 1.1, ", ""}, "factors[0]", "give minutes or roughness"},
		{"roughness factor of a pocket", []string{"minutes: 1.1,", "roughness: 1.1,"}, "factors[0].roughness", "a pocket takes no roughness"},
		{"mc alone", []string{"density_g_cm3: 8.9, cutting_as", "density_g_cm3: 8.9, mc: 0.3, cutting_as"}, "materials[0].mc", "give that too"},
	} {
		found := false
		problems := checkCutting(t, c.edits...)
		for _, p := range problems {
			found = found || p.Path == c.path && strings.Contains(p.Message, c.message) && p.Line > 0
		}
		if !found {
			t.Errorf("%s: no problem at %s with %q; found %v", c.name, c.path, c.message, problems)
		}
	}
}

// TestZeroSpeed: what must be more than nothing is refused while reading.
func TestZeroSpeed(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ old, new, message string }{
		{"depth_mm: 8}", "depth_mm: 8, speed_m_min: 0}", "parts[0].routing[0].features[0].speed_m_min: 0 is too small; it must be more than 0"},
		{"low: 100, likely", "low: 0, likely", "cutting_data[0].speed_m_min.low: 0 is too small; it must be more than 0"},
		{"teeth: 3", "teeth: 2.5", "tools[0].teeth: 2.5 must be a whole number"},
	} {
		_, _, err := book.Parse([]byte(strings.Replace(cuttingBook, c.old, c.new, 1)))
		if err == nil || !strings.Contains(err.Error(), c.message) {
			t.Errorf("%s: got %v, want %q", c.new, err, c.message)
		}
	}
}

// TestCutsAsNothing: a name that stands for nothing is told once, not again by
// every feature that nothing can then cut.
func TestCutsAsNothing(t *testing.T) {
	t.Parallel()
	problems := checkCutting(t, "cutting_as: copper", "cutting_as: coper", "material: CU, tool", "material: X, tool")
	if len(problems) != 1 || problems[0].Path != "materials[0].cutting_as" {
		t.Errorf("one name is wrong, and the problems are %v", problems)
	}
}

// TestRoomIsKnown: features as large as the blank are in order, and where no blank
// is known nothing is compared.
func TestRoomIsKnown(t *testing.T) {
	t.Parallel()
	const pocket = "kind: pocket, length_mm: 40, width_mm: 20, depth_mm: 8"
	for name, edits := range map[string][]string{
		"as large as the blank":    {pocket, "kind: face, length_mm: 62, width_mm: 60, depth_mm: 20", "depth_mm: 10, through", "depth_mm: 62, through", "reach_mm: 20", "reach_mm: 30"},
		"on its edge":              {pocket, "kind: pocket, length_mm: 20, width_mm: 10, depth_mm: 60", "reach_mm: 20", "reach_mm: 70"},
		"a path goes where it may": {pocket, "kind: contour, path_mm: 4000, depth_mm: 20"},
		"an assembly":              {"kind: made\n    blank: {stock: BAR, length_mm: 62, kerf_mm: 0}", "kind: assembly\n    children: [{part: B, quantity: 1}]", "length_mm: 40, width_mm: 20", "length_mm: 440, width_mm: 400", "parts:\n", "parts:\n  - {number: B, name: blank, kind: made, blank: {stock: BAR, length_mm: 62, kerf_mm: 0}}\n"},
	} {
		for _, p := range checkCutting(t, edits...) {
			if p.Severity == check.Fault {
				t.Errorf("%s: %v", name, p)
			}
		}
	}
}
