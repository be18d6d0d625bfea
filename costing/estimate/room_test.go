package estimate_test

import (
	"strings"
	"testing"
)

// TestLargerThanTheBlank: a feature that has no room in its blank is refused by the
// build as by the check, with its place; one that fits exactly is not.
func TestLargerThanTheBlank(t *testing.T) {
	t.Parallel()
	const slot, hole = "length_mm: 50, width_mm: 8", "depth_mm: 20, through"
	for _, c := range []struct{ old, new, want string }{
		{slot, "length_mm: 60, width_mm: 20", ""},
		{slot, "length_mm: 440, width_mm: 8", "parts[0].routing[0].features[0].length_mm: 440 has no room in the blank of 50 × 60 × 20 mm"},
		{slot, "length_mm: 55, width_mm: 55", "parts[0].routing[0].features[0]: a slot of this size has no room"},
		{hole, "depth_mm: 60, through", ""},
		{hole, "depth_mm: 60.1, through", "parts[0].routing[0].features[1].depth_mm: 60.1 has no room"},
		{"length_mm: 50, width_mm: 60, rz_um", "length_mm: 500, width_mm: 60, rz_um", ""}, // an assembly has no blank
	} {
		_, err := featured(t, c.old, c.new)
		if (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want %q", c.new, err, c.want)
		}
	}
	_, err := featured(t, "children: [{part: A, quantity: 1}]\n", "children: [{part: A, quantity: 1}]\n    finished: {length_mm: 50, width_mm: 60, thickness_mm: 19}\n",
		"length_mm: 50, width_mm: 60, rz_um", "length_mm: 500, width_mm: 60, rz_um")
	if err == nil || !strings.Contains(err.Error(), "500 has no room in the finished part of 50 × 60 × 19 mm") {
		t.Errorf("a face larger than the finished part: %v", err)
	}
}
