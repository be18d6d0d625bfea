package freight

import (
	"fmt"
	"slices"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/money"
	"kerfbook/costing/trade"
)

// Carrier is a carrier of the book as it serves one place.
type Carrier struct {
	trade.Carrier
	Path string // place of the carrier in the book

	ZoneAt  int // of the place, in Zones; −1 where none has it
	TermsAt int // of clearance at the place, in Clearance; −1 without
}

// Gap is what the prices of a carrier lack, and where in the book.
type Gap struct{ Path, What string }

// Find looks up a carrier with prices for a day, its zone and its terms of clearance
// for a place that goes by some names, the narrowest first. at is the field of the
// book that names the carrier. Where there are gaps, nothing can be written of it.
func Find(carriers []trade.Carrier, id bom.ID, at string, day bom.Date, names []string) (*Carrier, []Gap) {
	i := slices.IndexFunc(carriers, func(c trade.Carrier) bool { return c.ID == id && c.InForce(day) })
	if i < 0 {
		return nil, []Gap{{at, fmt.Sprintf("there is no carrier %s with prices for %s", id, day)}}
	}
	c := &Carrier{carriers[i], fmt.Sprintf("carriers[%d]", i), carriers[i].ZoneFor(names), carriers[i].ClearanceFor(names)}
	return c, c.gaps(names[0])
}

// gaps lists what the price table and the terms cannot be built from: a zone, a
// currency of the list, bands and tiers that ascend.
func (c *Carrier) gaps(place string) []Gap {
	var gaps []Gap
	miss := func(field, format string, args ...any) {
		gaps = append(gaps, Gap{c.Path + "." + field, fmt.Sprintf(format, args...)})
	}
	if c.ZoneAt < 0 {
		miss("zones", "carrier %s has no zone with %s", c.ID, place)
	}
	if _, ok := money.Lookup(string(c.Currency)); !ok {
		miss("currency", "%s is no currency of ISO 4217", c.Currency)
	}
	if c.ZoneAt >= 0 {
		zone := c.Zones[c.ZoneAt]
		if len(zone.Bands) == 0 {
			miss("zones", "zone %s has no bands", zone.ID)
		}
		for i := 1; i < len(zone.Bands); i++ {
			if !zone.Bands[i].UpTo.Likely.GreaterThan(zone.Bands[i-1].UpTo.Likely) {
				miss("zones", "the bands of zone %s do not ascend at up_to %s", zone.ID, zone.Bands[i].UpTo.Likely)
			}
		}
	}
	for i, s := range c.Surcharges {
		if s.Amount == nil && s.Share == nil {
			miss(fmt.Sprintf("surcharges[%d]", i), "the surcharge %s of carrier %s has neither amount nor share_of_table", s.Name, c.ID)
		}
	}
	if terms := c.Terms(); terms != nil {
		for i := 1; i < len(terms.Tiers); i++ {
			a, b := terms.Tiers[i-1].UpTo, terms.Tiers[i].UpTo
			if a == nil || b != nil && !b.Likely.GreaterThan(a.Likely) {
				miss("clearance", "the tiers of clearance do not ascend at tier %d", i+1)
			}
		}
	}
	return gaps
}

// Terms are those of clearance at the place; nil without.
func (c *Carrier) Terms() *trade.Clearance {
	if c.TermsAt < 0 {
		return nil
	}
	return &c.Clearance[c.TermsAt]
}

// Scope is where the figures of the carrier stand, shared by all consignments.
func (c *Carrier) Scope(root graph.Scope) graph.Scope {
	s := root.In("carrier", string(c.ID))
	if c.From != "" {
		s = s.In(string(c.From))
	}
	return s.From(graph.Source{Where: "carrier " + c.Name, Path: c.Path,
		Cite: c.Cite, CheckedOn: string(c.CheckedOn), Unverified: c.Unverified()})
}

// unit is that of the carrier's prices.
func (c *Carrier) unit() graph.Unit { return graph.Currency(string(c.Currency)) }

// shared is where the figures of the carrier stand.
func (l Load) shared() graph.Scope { return l.Carrier.Scope(l.Rates.Root) }
