package estimate_test

import (
	"strings"
	"testing"
)

// madeWith is a book whose part A is cut from a flat bar and has a routing.
func madeWith(operations string) string {
	return onePart("kind: made, blank: {stock: FLAT, length_mm: 62}, routing: [" + operations + "]")
}

// withProcess replaces the outside process of the book.
func withProcess(text, process string) string {
	return strings.Replace(text, "finish: electroless_nickel}", process+"}", 1)
}

const manual = "number: 10, name: work, kind: manual, work_centre: BENCH"

// TestWorkRefusals: what contradicts itself in an operation is refused with its
// place and the remedy.
func TestWorkRefusals(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, operation string
		words           []string
	}{
		{"learning without a time", "{" + manual + ", setup_min: 5, learning: {model: unit, rate: 0.8}}", []string{"routing[0].learning", "no time per piece"}},
		{"a rate of one half", "{" + manual + ", piece_min: 1, learning: {model: unit, rate: 0.5}}", []string{"rate", "more than 0.5"}},
		{"a rate without its model", "{" + manual + ", piece_min: 1, learning: {rate: 0.8}}", []string{"model"}},
		{"two meanings of the time", "{" + manual + ", piece_min: 1, learning: {model: unit, rate: 0.8, average_at: 10, unit_at: 10}}", []string{"unit_at", "average_at or unit_at"}},
		{"a floor above the first unit", "{" + manual + ", piece_min: 1, learning: {model: unit, rate: 0.8, floor_min: 1.5}}", []string{"floor_min", "1.5", "nothing could be learnt"}},
		{"area and a whole time", "{" + manual + ", piece_min: 1, min_per_dm2: 2}", []string{"piece_min", "min_per_dm2"}},
		{"an area for nothing", "{" + manual + ", piece_min: 1, area_dm2: 2}", []string{"area_dm2", "no use"}},
		{"measuring on a bench", "{" + manual + ", characteristics: [{name: Rz, measure_min: 1}]}", []string{"characteristics", "only an inspection"}},
		{"characteristics and a time", "{number: 10, name: measure, kind: inspection, work_centre: BENCH, piece_min: 2, characteristics: [{name: Rz, measure_min: 1}]}", []string{"piece_min", "keep one or the other"}},
		{"characteristics and a share", "{number: 10, name: measure, kind: inspection, work_centre: BENCH, sampled_share: 0.5, characteristics: [{name: Rz, measure_min: 1}]}", []string{"sampled_share", "keep one or the other"}},
		{"one characteristic twice", "{number: 10, name: measure, kind: inspection, work_centre: BENCH, characteristics: [{name: Rz, measure_min: 1}, {name: rz, measure_min: 2}]}", []string{"characteristics[1].name", "named like another"}},
		{"learning outside", "{number: 10, name: plate, kind: outside, treatment: {process: NI}, learning: {model: unit, rate: 0.8}}", []string{"outside operation", "delete it"}},
		{"a thickness below the class", "{number: 10, name: plate, kind: outside, treatment: {process: NI, class: SC3, thickness_um: 20}}", []string{"thickness_um", "20 µm", "25 µm"}},
		{"more masked than there is", "{number: 10, name: plate, kind: outside, treatment: {process: NI, area_dm2: 1, masked_dm2: 2}}", []string{"masked_dm2", "more than the area"}},
	} {
		wantRefused(t, c.name, madeWith(c.operation), c.words...)
	}
}

// TestFinishRefusals: what contradicts itself in an outside process.
func TestFinishRefusals(t *testing.T) {
	t.Parallel()
	plate := func(treatment string) string {
		return madeWith("{number: 10, name: plate, kind: outside, treatment: {process: NI" + treatment + "}}")
	}
	wantRefused(t, "a class without a finish", withProcess(plate(", class: SC2"), "lead_days: 1"), "class", "write finish")
	wantRefused(t, "another finish", withProcess(plate(", class: SC2"), "finish: anodising"), "no class of anodising", "AA5, AA10")
	wantRefused(t, "phosphorus in a film", withProcess(plate(""), "finish: anodising, phosphorus: high"), "phosphorus", "only electroless nickel")
	wantRefused(t, "current for nickel", withProcess(plate(""), "finish: electroless_nickel, current_a_dm2: 1.5"), "current_a_dm2", "only anodising")
	wantRefused(t, "two prices of a mask", withProcess(plate(""), "mask_price: 1, mask_min: 2, mask_rate_per_h: 20"), "mask_price", "keep one or the other")
	wantRefused(t, "half of a mask's time", withProcess(plate(""), "mask_min: 2"), "mask_min and mask_rate_per_h")
	wantRefused(t, "other phosphorus than asked for", withProcess(plate(`, class: "NiP(8)10"`), "finish: electroless_nickel, phosphorus: high"), "8 % phosphorus", "10 to 13 %")
	wantRefused(t, "a price by µm without one", withProcess(plate(""), "price_per_dm2_um: 0.1"), "charges by thickness", "thickness_um")
	wantRefused(t, "hard anodising without a thickness", withProcess(plate(", class: ISO10074"), "finish: hard_anodising, price_per_dm2_um: 0.1"), "charges by thickness")
	wantRefused(t, "a piece larger than a load", withProcess(plate(", area_dm2: 9"), "load_dm2: 8"), "area_dm2", "larger than a load")
	wantRefused(t, "an unknown finish", withProcess(plate(""), "finish: chrome"), "finish", "electroless_nickel")
	wantRefused(t, "a round box", onePart("kind: made, blank: {stock: FLAT, length_mm: 62}, finished: {length_mm: 3, width_mm: 2, diameter_mm: 4}"), "finished", "round part")
	wantRefused(t, "a box without a height", onePart("kind: made, blank: {stock: FLAT, length_mm: 62}, finished: {length_mm: 3, width_mm: 2}"), "thickness_mm")
	shift := strings.Replace(madeWith("{"+manual+", piece_min: 1}"), "labour_rate_per_h: 30,", "labour_rate_per_h: 30, allowance: 1, allowance_base: shift,", 1)
	wantRefused(t, "all of the shift", shift, "allowance", "less than 1")
}

// TestNothingRefusedWithout: the book that these tests break is in order.
func TestNothingRefusedWithout(t *testing.T) {
	t.Parallel()
	for _, text := range []string{
		madeWith("{" + manual + ", piece_min: 1, learning: {model: unit, rate: 0.8, floor_min: 0.4, made_before: 3}}"),
		madeWith("{" + manual + ", handling_min: 1, min_per_dm2: 2}, {number: 20, name: plate, kind: outside, treatment: {process: NI, class: SC3, thickness_um: 25, masked_dm2: 0.1}}"),
		withProcess(madeWith("{number: 10, name: plate, kind: outside, treatment: {process: NI, class: AA15}}"), "finish: anodising, current_a_dm2: 1.5, mask_min: 2, mask_rate_per_h: 20, load_dm2: 40"),
	} {
		if found := faults(t, text); len(found) > 0 {
			t.Errorf("%q", found)
		}
	}
}
