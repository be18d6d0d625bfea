package check_test

import (
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/check"
	"kerfbook/costing/trade"
)

func TestPriceTablesOfCarriersRise(t *testing.T) {
	t.Parallel()
	two, five := bom.Whole(2), bom.Whole(5)
	carrier := func(bands []trade.MassBand, tiers ...trade.ClearanceTier) *book.Book {
		return &book.Book{Version: book.Version, Carriers: []trade.Carrier{{
			Zones: []trade.Zone{{Bands: bands}}, Clearance: []trade.Clearance{{Tiers: tiers}}}}}
	}
	rising := []trade.MassBand{{UpTo: two}, {UpTo: five}}
	for name, c := range map[string]struct {
		book *book.Book
		path string // of the fault; empty for none
	}{
		"rising":                   {carrier(rising, trade.ClearanceTier{UpTo: &two}, trade.ClearanceTier{UpTo: &five}, trade.ClearanceTier{}), ""},
		"the same band twice":      {carrier([]trade.MassBand{{UpTo: two}, {UpTo: two}}), "carriers[0].zones[0].bands[1].up_to"},
		"falling bands":            {carrier([]trade.MassBand{{UpTo: five}, {UpTo: two}}), "carriers[0].zones[0].bands[1].up_to"},
		"falling tiers":            {carrier(rising, trade.ClearanceTier{UpTo: &five}, trade.ClearanceTier{UpTo: &two}), "carriers[0].clearance[0].tiers[1].up_to"},
		"a tier after an open one": {carrier(rising, trade.ClearanceTier{}, trade.ClearanceTier{UpTo: &two}), "carriers[0].clearance[0].tiers[1].up_to"},
	} {
		var found string
		for _, p := range check.Book(c.book, nil, "") {
			if p.Severity == check.Fault {
				found = p.Path
			}
		}
		if found != c.path {
			t.Errorf("%s: fault at %q, want %q", name, found, c.path)
		}
	}
}
