package estimate_test

import (
	"slices"
	"strings"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/book/booktest"
	"kerfbook/costing/estimate"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
)

// featuresBook is a part of copper, all of whose machining is described by
// features, and an assembly whose face is finished.
const featuresBook = `kerfbook: 1
name: shop
country: "PT"
currency: EUR
rate_cards: [{id: card, from: 2026-01-01}]
work_centres: [{id: MILL, name: mill, machine_rate_per_h: 60, tool_change_s: 30, rapid_mm_min: 10000}]
materials: [{id: CU, name: copper, density_g_cm3: 8.9, reclaim_per_kg: 5, cutting_as: copper}]
suppliers: [{id: S, name: supplier}]
stocks: [{id: BAR, name: bar, material: CU, form: bar, length_mm: 3000, width_mm: 60, thickness_mm: 20}]
tools:
  - {id: EM8, name: end mill, kind: end_mill, diameter_mm: 8, teeth: 3, life_min: 60, edge_cost: 30, edge_change_min: 1}
  - {id: DR, name: drill, kind: drill, diameter_mm: 5}
  - {id: FLY, name: fly cutter, kind: fly_cutter, diameter_mm: 70, nose_radius_mm: 0.8}
offers: [{for: BAR, supplier: S, unit: piece, currency: EUR, breaks: [{from: 1, price: 100}]}]
parts:
  - number: A
    name: part
    kind: made
    blank: {stock: BAR, length_mm: 50}
    routing:
      - number: 10
        name: mill
        kind: machining
        work_centre: MILL
        handling_min: 0.5
        positioning_min: 0.25
        probing_min: 0.1
        pieces_per_load: 2
        features:
          - {id: S, name: slot, kind: slot, length_mm: 50, width_mm: 8, depth_mm: 5, clearance_mm: 0, speed_m_min: 100, feed_mm: 0.05}
          - {id: D, name: hole, kind: drill, count: 2, diameter_mm: 5, depth_mm: 20, through: true, speed_m_min: 50, feed_mm: 0.1}
  - number: B
    name: mirror
    kind: assembly
    children: [{part: A, quantity: 1}]
    routing:
      - number: 10
        name: fly-cut
        kind: machining
        work_centre: MILL
        features: [{id: M, name: mirror, kind: finish_face, length_mm: 50, width_mm: 60, rz_um: 1}]
products:
  - number: X
    name: product
    positions: [{number: 10, part: B, quantity: 1}]
    trims: [{id: only, name: Only}]
`

func featured(t *testing.T, replacements ...string) (*estimate.Estimate, error) {
	t.Helper()
	b := booktest.Read(t, []byte(strings.NewReplacer(replacements...).Replace(featuresBook)))
	return estimate.Build(b, []estimate.MixLine{{Product: "X", Trim: "only", Quantity: bom.Whole(10)}}, demoDay)
}

func featuredSheet(t *testing.T, replacements ...string) sheet {
	t.Helper()
	est, err := featured(t, replacements...)
	if err != nil {
		t.Fatal(err)
	}
	return evaluate(t, est, nil)
}

// TestFeaturesInRouting: times, tool changes and worn edges of features come in
// place of entered ones; set-up, handling and probing stay entered; the mass
// follows from blank and features.
func TestFeaturesInRouting(t *testing.T) {
	t.Parallel()
	s := featuredSheet(t)
	const op = "part/A/op/10/"
	for key, want := range map[string]string{
		op + "cutting":         "0.25741", // 58/596.83 + 2 × (2 + 20 + 1.5022 + 2)/318.31
		op + "tool-changes":    "1",       // two tools of 30 s
		op + "load-time":       "1.1",
		op + "tools-per-piece": "0.0486", // 58/596.83 ÷ 60 × 30, the drill's edges unknown
		op + "worn-edge":       "0.0016",
		op + "removed":         "2785.4",  // 50 × 8 × 5 + 2 × π/4 × 25 × 20
		op + "area":            "969.779", // 2 × 5 × 42 + 2 × 274.889
		"part/A/blank-mass":    "534",
		"part/A/mass":          "509.21",
	} {
		x := expectation{Key: key, Value: want}
		if got := s.Get(s.v, s.ID(key)); !x.agrees(t, got, want) {
			t.Errorf("%s is %s, want %s", key, got, want)
		}
	}
	if !s.Has("part/A/reclaim") {
		t.Error("no reclaim of the chips, though the mass is known")
	}
	if s.Has("cut/MILL/FLY/CU/finish_face/speed") {
		t.Error("a feature with a roughness shares its speed")
	}
	if s.Has("part/B/op/10/feature/M/with/FLY/kc") {
		t.Error("a finish of no stated depth has a force")
	}
}

// TestMassOfFeatures: an entered mass wins, and an operation with entered minutes
// leaves the mass open.
func TestMassOfFeatures(t *testing.T) {
	t.Parallel()
	s := featuredSheet(t, "name: part\n    kind: made", "name: part\n    kind: made\n    mass_g: 500")
	ft.Same(t, "the mass entered", s.key("part/A/mass"), ft.Rat("500"))
	s = featuredSheet(t, "routing:\n      - number: 10\n        name: mill", "routing:\n      - {number: 5, name: saw, kind: machining, work_centre: MILL, piece_min: 1}\n      - number: 10\n        name: mill")
	if s.Has("part/A/mass") {
		t.Error("minutes are entered for the saw, and a mass follows from features")
	}
}

// TestFeatureGapsAtBuild: what a feature lacks, or no tool can cut, is a gap with the
// place and the remedy.
func TestFeatureGapsAtBuild(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ old, new, path, message string }{
		{"depth_mm: 20, through", "peck_mm: 2, through", "parts[0].routing[0].features[1]", "a drilled hole needs depth_mm"},
		{"width_mm: 8, depth_mm: 5,", "width_mm: 7, depth_mm: 5,", "parts[0].routing[0].features[0]", "wider than the slot of 7 mm"},
		{"rz_um: 1}", "rz_um: 1, tools: [Z]}", "parts[1].routing[0].features[0].tools", "there is no tool Z"},
	} {
		est := featuredSheet(t, c.old, c.new).est
		named := est.Graph.Standing(nil).Missing(est.Variants[0].Full)
		named = slices.DeleteFunc(named, func(n graph.Node) bool { return n.Missing == "wage of MILL" })
		if len(named) != 1 || named[0].Source.Path != c.path || !strings.Contains(named[0].Missing, c.message) {
			t.Errorf("%s: missing are %v", c.new, named)
		}
	}
}
