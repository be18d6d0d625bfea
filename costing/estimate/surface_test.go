package estimate_test

import (
	"math/big"
	"strings"
	"testing"

	"kerfbook/costing/estimate"
	ft "kerfbook/costing/fractiontest"
)

const surfaceHead = `work_centres: [{id: BENCH, name: bench, machine_rate_per_h: 0, labour_rate_per_h: 30, machines: 1, rapid_mm_min: 5000}]
materials: [{id: CU, name: copper, density_g_cm3: 8.93, source: from memory}]
stocks:
  - {id: FLAT, name: flat 60 × 20, material: CU, form: bar, length_mm: 3000, width_mm: 60, thickness_mm: 20}
  - {id: ROUND, name: round 90, material: CU, form: bar, length_mm: 1000, diameter_mm: 90}
  - {id: TUBE, name: tube 90 × 80, material: CU, form: tube, length_mm: 3000, diameter_mm: 90, inner_diameter_mm: 80}
  - {id: HEX, name: hexagon 30, material: CU, form: hexagon, length_mm: 1000, across_flats_mm: 30}
  - {id: SQUARE, name: square 30, material: CU, form: square, length_mm: 1000, across_flats_mm: 30}
  - {id: CAST, name: casting, material: CU, form: near_net, length_mm: 60, diameter_mm: 40, mass_g: 500}
  - {id: SHEET, name: sheet 8, material: CU, form: sheet, length_mm: 1000, width_mm: 600, thickness_mm: 8}
offers:
  - {for: FLAT, supplier: S, unit: piece, currency: EUR, breaks: [{from: 1, price: 10}]}
  - {for: ROUND, supplier: S, unit: piece, currency: EUR, breaks: [{from: 1, price: 10}]}
  - {for: TUBE, supplier: S, unit: piece, currency: EUR, breaks: [{from: 1, price: 10}]}
  - {for: HEX, supplier: S, unit: piece, currency: EUR, breaks: [{from: 1, price: 10}]}
  - {for: SQUARE, supplier: S, unit: piece, currency: EUR, breaks: [{from: 1, price: 10}]}
  - {for: CAST, supplier: S, unit: piece, currency: EUR, breaks: [{from: 1, price: 10}]}
  - {for: SHEET, supplier: S, unit: piece, currency: EUR, breaks: [{from: 1, price: 10}]}
outside_processes: [{id: NI, name: nickel, supplier: S, currency: EUR, price_per_dm2: 1, finish: electroless_nickel}]
products:
  - {number: X, name: product X, positions: [{number: 10, part: A, quantity: 1}], trims: [{id: only, name: Only}]}
`

// onePart is a book whose product is the part A.
func onePart(part string) string {
	return surfaceHead + "parts:\n  - {number: A, name: part A, " + part + "}\n"
}

const polish = "routing: [{number: 10, name: polish, kind: manual, work_centre: BENCH, min_per_dm2: 2}, {number: 20, name: plate, kind: outside, treatment: {process: NI, class: SC2}}]"

// TestHexagonalSurface: six flats of 62 by 30/√3 and two ends of √3/2 × 30².
func TestHexagonalSurface(t *testing.T) {
	t.Parallel()
	s := smallSheet(t, smallBook(t, onePart("kind: made, blank: {stock: HEX, length_mm: 62}, "+polish)), 3)
	almost(t, "charge", s.key("part/A/op/20/area-charge"), ft.Times(ft.Rat("1.73205080756887729352744634150587"), ft.Rat("0.462")))
}

// TestSurfaces compares the surface of blanks with their sides: both the time of
// work by area and the charge of a finish follow from it.
func TestSurfaces(t *testing.T) {
	t.Parallel()
	pi := ft.Rat("3.141592653589793238462643383279503")
	for _, c := range []struct {
		name, part string
		mm2        *big.Rat
	}{
		{"box from a flat bar", "kind: made, blank: {stock: FLAT, length_mm: 62}, ", ft.Rat("12320")},
		{"cylinder", "kind: made, blank: {stock: ROUND, length_mm: 48}, ", ft.Times(pi, ft.Rat("8370"))},           // 90 × 48 + 2 × 45²
		{"tube", "kind: made, blank: {stock: TUBE, length_mm: 58}, ", ft.Times(pi, ft.Rat("10710"))},               // 170 × 58 + 2 × (45² − 40²)
		{"box from a square bar", "kind: made, blank: {stock: SQUARE, length_mm: 62}, ", ft.Rat("9240")},           // 4 × 30 × 62 + 2 × 30²
		{"near-net blank", "kind: made, blank: {stock: CAST}, ", ft.Times(pi, ft.Rat("3200"))},                     // 40 × 60 + 2 × 20²
		{"box from a sheet", "kind: made, blank: {stock: SHEET, length_mm: 120, width_mm: 80}, ", ft.Rat("22400")}, // 2 × (9600 + 960 + 640)
		{"disc", "kind: made, blank: {stock: SHEET, diameter_mm: 98}, ", ft.Times(pi, ft.Rat("5586"))},             // 98 × 8 + 2 × 49²
		{"finished box", "kind: made, blank: {stock: FLAT, length_mm: 62}, finished: {length_mm: 60, width_mm: 58, thickness_mm: 18}, ", ft.Rat("11208")},
		{"finished cylinder", "kind: made, blank: {stock: FLAT, length_mm: 62}, finished: {length_mm: 60, diameter_mm: 18}, ", ft.Times(pi, ft.Rat("1242"))},
	} {
		s := smallSheet(t, smallBook(t, onePart(c.part+polish)), 3)
		dm2 := ft.Over(c.mm2, ft.Rat("10000"))
		ft.Same(t, c.name+": time", s.key("part/A/op/10/area-time"), ft.Times(ft.Rat("2"), dm2))
		ft.Same(t, c.name+": charge", s.key("part/A/op/20/area-charge"), dm2)
		if found := faults(t, onePart(c.part+polish)); len(found) > 0 {
			t.Errorf("%s: %v", c.name, found)
		}
	}
}

// TestEnteredAreaWins: an entered area goes before a computed one.
func TestEnteredAreaWins(t *testing.T) {
	t.Parallel()
	s := smallSheet(t, smallBook(t, onePart("kind: made, blank: {stock: FLAT, length_mm: 62}, routing: [{number: 10, name: polish, kind: manual, work_centre: BENCH, min_per_dm2: 2, area_dm2: 0.3}, "+
		"{number: 20, name: plate, kind: outside, treatment: {process: NI, area_dm2: 4.1, masked_dm2: 0.1}}]")), 3)
	ft.Same(t, "time", s.key("part/A/op/10/piece-time"), ft.Rat("0.6"))
	ft.Same(t, "charge", s.key("part/A/op/20/area-charge"), ft.Rat("4"))
	if s.Has("part/A/outline") {
		t.Error("a surface is computed that nothing uses")
	}
}

// finned is a heat sink of 62 × 60 × 20 with slots of 1.5 × 12 along its length,
// plated as a part of another number.
const finned = `
tools: [{id: SAW, name: saw, kind: slitting_saw, diameter_mm: 80, width_mm: 1.5, teeth: 64}]
parts:
  - number: B
    name: bare
    kind: made
    blank: {stock: FLAT, length_mm: 62}
    routing:
      - number: 10
        name: slit
        kind: machining
        work_centre: BENCH
        features: [{id: F, name: fins, kind: slot_array, length_mm: 62, width_mm: 60, depth_mm: 12, slot_width_mm: 1.5, fin_width_mm: 1, speed_m_min: 120, feed_mm: 0.01}]
  - number: A
    name: plated
    kind: assembly
    children: [{part: B, quantity: 1}]
    routing: [{number: 10, name: plate, kind: outside, treatment: {process: NI, class: SC2}}]
`

// TestFinsArePlated: the surface of the part below, its slots included, is what is
// plated: A = box + 2·n·h·(L − s).
func TestFinsArePlated(t *testing.T) {
	t.Parallel()
	s := smallSheet(t, smallBook(t, surfaceHead+finned), 3)
	ft.Same(t, "slots", s.key("part/B/op/10/feature/F/slots"), ft.Rat("23"))    // (60 − 1) ÷ 2.5
	want := ft.Over(ft.Plus(ft.Rat("12320"), ft.Rat("33396")), ft.Rat("10000")) // 2 × 23 × 12 × 60.5
	ft.Same(t, "charge", s.key("part/A/op/10/area-charge"), want)
	with := strings.Replace(finned, "kind: made\n", "kind: made\n    finished: {length_mm: 62, width_mm: 60, thickness_mm: 18}\n", 1)
	s = smallSheet(t, smallBook(t, surfaceHead+with), 3)
	want = ft.Over(ft.Plus(ft.Rat("11832"), ft.Rat("33396")), ft.Rat("10000"))
	ft.Same(t, "charge with a finished height", s.key("part/A/op/10/area-charge"), want)
}

// TestNoSurface: what consists of several pieces has no surface that could be
// computed; check and build say what to enter.
func TestNoSurface(t *testing.T) {
	t.Parallel()
	two := surfaceHead + `
parts:
  - {number: B, name: bare, kind: made, blank: {stock: FLAT, length_mm: 62}}
  - number: A
    name: two of them
    kind: assembly
    children: [{part: B, quantity: 2}]
    routing: [{number: 10, name: polish, kind: manual, work_centre: BENCH, min_per_dm2: 2}, {number: 20, name: plate, kind: outside, treatment: {process: NI}}]
`
	wantRefused(t, "polishing two", two, "operation 10 works by area", "area_dm2")
	wantRefused(t, "plating two", two, "NI charges by area", "area_dm2")
	list := lacking(t, smallBook(t, two), smallMix())
	says(t, list, "parts[1].routing[0].area_dm2: area of two of them, operation 10")
	says(t, list, "parts[1].routing[1].treatment.area_dm2: area of two of them, operation 20")
}

// TestUnknownFinishClass: check and build name the classes that are known.
func TestUnknownFinishClass(t *testing.T) {
	t.Parallel()
	text := onePart("kind: made, blank: {stock: FLAT, length_mm: 62}, " + strings.Replace(polish, "SC2", "SC7", 1))
	wantRefused(t, "class SC7", text, `"SC7" is no class of electroless nickel`, "SC0, SC1, SC2, SC3, SC4", "NiP(10)15")
	_, err := estimate.Build(smallBook(t, text), smallMix(), demoDay)
	if err == nil || !strings.Contains(err.Error(), "parts[0].routing[1].treatment.class") {
		t.Errorf("class SC7 builds: %v", err)
	}
}

// TestInspection: measured times × their shares; everything else about the
// operation is as before.
func TestInspection(t *testing.T) {
	t.Parallel()
	s := smallSheet(t, smallBook(t, onePart("kind: made, blank: {stock: FLAT, length_mm: 62}, routing: [{number: 10, name: measure, kind: inspection, work_centre: BENCH, yield: 0.5, characteristics: ["+
		"{name: Rz of the face, measure_min: 3, sampled_share: 0.2}, {name: flatness, measure_min: 1.5, sampled_share: 0.5}, {name: pull of the magnet, measure_min: 0.25}]}]")), 4)
	ft.Same(t, "piece time", s.key("part/A/op/10/piece-time"), ft.Rat("1.6"))
	ft.Same(t, "run time", s.key("part/A/op/10/run-pieces"), ft.Rat("12.8")) // eight pieces start
	ft.Same(t, "labour", s.key("part/A/op/10/labour-cost"), ft.Rat("6.4"))
	ft.Same(t, "a piece so far", s.key("part/A/op/10/so-far"), ft.Rat("2.05")) // 10 for the bar and 6.40, by eight
	ft.Same(t, "rejected, by piece started", s.key("part/A/op/10/reject-cost"), ft.Rat("1.025"))
	ft.Same(t, "rejected", s.key("part/A/op/10/reject-cost-batch"), ft.Rat("8.2"))
}
