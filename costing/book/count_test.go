package book_test

import (
	"strings"
	"testing"

	"kerfbook/costing/book"
)

// TestCountsAreWhole: what is counted in pieces has no fraction and no range.
func TestCountsAreWhole(t *testing.T) {
	t.Parallel()
	const text = `kerfbook: 1
name: shop
country: "PT"
currency: EUR
rate_cards: [{id: card, from: 2026-01-01}]
work_centres: [{id: W, name: bench}]
suppliers: [{id: S, name: supplier}]
outside_processes: [{id: NI, name: nickel, supplier: S, currency: EUR}]
parts:
  - {number: SC, name: screw, kind: bought}
  - number: A
    name: part
    kind: assembly
    children: [{part: SC, quantity: 4}]
    routing:
      - {number: 10, name: mount, kind: manual, work_centre: W, setup_pieces: 1}
      - {number: 20, name: plate, kind: outside, treatment: {process: NI, masks: 3}}
    special_direct: [{name: jig, amount: 40, recover_over_pieces: 100}]
products:
  - number: X
    name: product
    positions: [{number: 10, part: A, quantity: 2}]
    trims: [{id: only, name: Only}]
`
	if _, _, err := book.Parse([]byte(text)); err != nil {
		t.Fatal(err)
	}
	for field, path := range map[string]string{"setup_pieces: 1": "parts[1].routing[0].setup_pieces",
		"masks: 3": "parts[1].routing[1].treatment.masks", "recover_over_pieces: 100": "parts[1].special_direct[0].recover_over_pieces"} {
		name, _, _ := strings.Cut(field, ":")
		for value, message := range map[string]string{"2.5": "2.5 must be a whole number", "{low: 1, likely: 2, high: 3}": "a count is one whole number"} {
			_, _, err := book.Parse([]byte(strings.Replace(text, field, name+": "+value, 1)))
			if err == nil || !strings.Contains(err.Error(), path+": "+message) {
				t.Errorf("%s of %s: got %v, want %q", path, value, err, message)
			}
		}
	}
}

// TestMissingIsNamed: what is missing is named by the message itself, in a range
// too.
func TestMissingIsNamed(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]string{
		"kerfbook: 1\nname: shop\ncountry: \"PT\"\n":                                         "currency is missing; add this field",
		"kerfbook: 1\nmaterials: [{id: M, name: brass, density_g_cm3: {low: 8, high: 9}}]\n": "likely is missing; add this field",
	} {
		if _, _, err := book.Parse([]byte(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("got %v, want %q", err, want)
		}
	}
}
