package book_test

import (
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/rates"
)

func TestPriceTablesOfCarriersRise(t *testing.T) {
	t.Parallel()
	two, five := bom.Whole(2), bom.Whole(5)
	carrier := func(bands []rates.MassBand, tiers ...rates.ClearanceTier) *book.Book {
		return &book.Book{Version: book.Version, Carriers: []rates.Carrier{{
			Zones: []rates.Zone{{Bands: bands}}, Clearance: []rates.Clearance{{Tiers: tiers}}}}}
	}
	rising := []rates.MassBand{{UpTo: two}, {UpTo: five}}
	for name, c := range map[string]struct {
		book *book.Book
		path string // of the fault; empty for none
	}{
		"rising":                   {carrier(rising, rates.ClearanceTier{UpTo: &two}, rates.ClearanceTier{UpTo: &five}, rates.ClearanceTier{}), ""},
		"the same band twice":      {carrier([]rates.MassBand{{UpTo: two}, {UpTo: two}}), "carriers[0].zones[0].bands[1].up_to"},
		"falling bands":            {carrier([]rates.MassBand{{UpTo: five}, {UpTo: two}}), "carriers[0].zones[0].bands[1].up_to"},
		"falling tiers":            {carrier(rising, rates.ClearanceTier{UpTo: &five}, rates.ClearanceTier{UpTo: &two}), "carriers[0].clearance[0].tiers[1].up_to"},
		"a tier after an open one": {carrier(rising, rates.ClearanceTier{}, rates.ClearanceTier{UpTo: &two}), "carriers[0].clearance[0].tiers[1].up_to"},
	} {
		var found string
		for _, p := range book.Check(c.book, nil, "") {
			if p.Severity == book.Fault {
				found = p.Path
			}
		}
		if found != c.path {
			t.Errorf("%s: fault at %q, want %q", name, found, c.path)
		}
	}
}
