package purchase

import (
	"strconv"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
)

// MetalPrice gives the price of a metal on the day, by the kilogram, in the currency of
// the offer.
type MetalPrice func(bom.ID) graph.ID

// metals is what of an offer follows the price of metals.
type metals struct {
	perKg  graph.ID // money per kg of what is bought; None for none
	perUse graph.ID // money per unit of use; None likewise
}

func newMetals(s graph.Scope, parts []rates.MetalPart, use graph.Unit, priceOf MetalPrice) metals {
	var byMass, byUse []graph.ID
	for i, m := range parts {
		at := s.In("metal", string(m.Metal)).Within("metals[" + strconv.Itoa(i) + "]").By("B3")
		price := Above(at, m, priceOf(m.Metal))
		switch {
		case m.MassG != nil:
			each := at.Number("mass-g", "metal in one", graph.Gram.Per(use), *m.MassG, "mass_g")
			kg := at.Convert("mass", "metal in one, in kg", each, graph.Gram, graph.Kilogram)
			byUse = append(byUse, at.Multiply("surcharge", "metal in the price of one", kg, price))
		case m.Share != nil:
			share := at.Number("share", "share of the metal in the mass", graph.Plain, *m.Share, "share")
			byMass = append(byMass, at.Multiply("surcharge", "metal in the price of a kilogram", price, share))
		default:
			byMass = append(byMass, price)
		}
	}
	s = s.By("B3")
	return metals{s.Total("metal-per-kg", "metals in the price of a kilogram", byMass...), s.Total("metal-per-use", "metals in the price of one", byUse...)}
}

// Above is what is paid for a kilogram of a metal beside the other prices.
func Above(s graph.Scope, m rates.MetalPart, price graph.ID) graph.ID {
	if m.Added != nil {
		added := s.Number("added", "share that the supplier adds", graph.Plain, *m.Added, "added")
		price = s.Multiply("price-added", "metal price with what the supplier adds", price, s.Add("one-and-added", "1 + what is added", s.One(graph.Plain), added))
	}
	if m.BasePerKg == nil {
		return price
	}
	base := s.Number("base", "metal price contained in the price", s.Unit(price), *m.BasePerKg, "base_per_kg")
	price = s.Subtract("above-base", "metal price above what is contained", price, base)
	if m.NeverBelow {
		price = s.Maximum("never-below", "metal price above what is contained, not below it", price, s.Zero(s.Unit(price)))
	}
	return price
}

// metal is what metals add to the price of one purchase unit; None for nothing.
func (n *numbers) metal(need Need) graph.ID {
	s := n.s.By("B3")
	var parts []graph.ID
	each := graph.None // units of use in a purchase unit
	if n.content != graph.None {
		each = n.content
	} else if n.perUse != graph.None {
		each = s.Divide("use-per-unit", "units of use in a purchase unit", s.Fixed("one-unit", "one", graph.Plain, decimal.New(1, 0), "definition"), n.perUse)
	}
	times := func(name, label string, of, by graph.ID) graph.ID {
		return graph.Or(s.Multiply(name, label, of, by), of)
	}
	switch {
	case n.metals.perKg == graph.None:
	case n.def.Unit == rates.PerKilogram:
		parts = append(parts, n.metals.perKg)
	default:
		mass := need.MassKg
		if mass == graph.None {
			mass = s.Within("metals").Missing("mass-kg", "mass of one", graph.Kilogram.Per(s.Unit(need.Quantity)), "mass of what "+string(n.def.Supplier)+" sells by the price of its metal")
		}
		kg := times("kg-per-unit", "mass of a purchase unit", mass, each)
		parts = append(parts, s.Multiply("metal-mass", "metal in a purchase unit, by mass", n.metals.perKg, kg))
	}
	if n.metals.perUse != graph.None {
		parts = append(parts, times("metal-use", "metal in a purchase unit, by piece", n.metals.perUse, each))
	}
	return s.Total("metal", "metal in the price of a purchase unit", parts...)
}
