package book_test

import (
	"strings"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/booktest"
)

// TestCuttingDataWhereAsked: the reference rows of cutting data are there for whatever
// asks for them, and not read for a book that asks for none.
func TestCuttingDataWhereAsked(t *testing.T) {
	t.Parallel()
	written := booktest.Shop(10, 1)
	for what, of := range map[string]struct {
		old, new string
		asked    bool
	}{
		"nothing":               {"", "", false},
		"a material cutting as": {"density_g_cm3: 8.5", "density_g_cm3: 8.5, cutting_as: brass-cw614n", true},
		"a feature": {"name: Turn, kind: manual, work_centre: bench-1, setup_min: 10, piece_min: 1.5",
			"name: Turn, kind: machining, work_centre: bench-1, setup_min: 10, features: [{id: F, name: pocket, kind: pocket, length_mm: 6, width_mm: 6, depth_mm: 2}]", true},
	} {
		b := booktest.Read(t, []byte(strings.Replace(written, of.old, of.new, 1)))
		rows, err := b.CuttingTables()
		if err != nil || (len(rows.Reference) > 0) != of.asked {
			t.Errorf("%s: %d rows, %v", what, len(rows.Reference), err)
		}
	}
}

// TestTrimName: a trim of one of several products is told from one of the same name.
func TestTrimName(t *testing.T) {
	t.Parallel()
	lamp := bom.Product{Number: "LAMP", Name: "lamp", Trims: []bom.Trim{{ID: "plain", Name: "Plain"}, {ID: "glow"}}}
	b := book.Book{Products: []bom.Product{lamp}}
	if got := b.TrimName(&lamp, &lamp.Trims[0]) + " " + b.TrimName(&lamp, &lamp.Trims[1]); got != "Plain glow" {
		t.Errorf("of one product: %s", got)
	}
	knob := bom.Product{Number: "KNOB", Name: "knob", Trims: []bom.Trim{{ID: "KNOB", Name: "knob"}}}
	b.Products = append(b.Products, knob)
	if got := b.TrimName(&lamp, &lamp.Trims[0]) + "; " + b.TrimName(&knob, &knob.Trims[0]); got != "lamp, Plain; knob" {
		t.Errorf("of two: %s", got)
	}
}
