package trade

import (
	"cmp"
	"fmt"
	"iter"
	"slices"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/reference"
)

// Tables are the rows of a shop in front of the reference rows: where one of the
// shop's own rows fits, no reference row is looked at.
type Tables struct {
	Own, Reference Rules
}

// during reports whether a day lies in a period; an absent end is open.
func during(from, to, day bom.Date) bool {
	return (from == "" || from <= day) && (to == "" || day <= to)
}

// best gives the row with the highest rank above zero, looking at own rows
// first; among equals the one that began last.
func best[T any](own, shipped []T, rank func(T) int, tell func(T, int, bool) reference.Provenance) (reference.Row[T], bool) {
	for i, rows := range [][]T{own, shipped} {
		at, top := -1, 0
		for j, r := range rows {
			n := rank(r)
			if n > top || n == top && at >= 0 && tell(r, j, i == 0).Where > tell(rows[at], at, i == 0).Where {
				at, top = j, n
			}
		}
		if at >= 0 {
			return reference.Row[T]{Value: rows[at], Provenance: tell(rows[at], at, i == 0)}, true
		}
	}
	return reference.Row[T]{}, false
}

// both gives own rows and then those shipped, where they stand.
func both[T any](own, shipped []T) iter.Seq[*T] {
	return func(yield func(*T) bool) {
		for _, rows := range [...][]T{own, shipped} {
			for i := range rows {
				if !yield(&rows[i]) {
					return
				}
			}
		}
	}
}

// provenance makes the provenance of a row of a table. One that ships without a source
// and was confirmed by the shop is told as that.
func (t Tables) provenance(table, what string, from bom.Date, cite string, checked bom.Date, at int, own bool) reference.Provenance {
	p := reference.Told("", cite, checked)
	since := ""
	if from != "" {
		since = " from " + string(from)
	}
	if own {
		p.Where = fmt.Sprintf("own row %s %s%s", table, what, since)
		p.Path = fmt.Sprintf("rules.%s[%d]", table, at)
		return p
	}
	p.Where = fmt.Sprintf("reference row %s %s%s", table, what, since)
	if i := slices.IndexFunc(t.Own.Confirmed, func(c Confirmed) bool { return c.Row == p.Where }); i >= 0 && p.Unverified {
		c := t.Own.Confirmed[i]
		p.Unverified, p.CheckedOn = false, string(c.On)
		p.Cite = fmt.Sprintf("confirmed by %s on %s; it ships as: %s", cmp.Or(c.By, "the shop"), c.On, p.Cite)
	}
	return p
}

// TerritoryOf gives the customs territory of a country on a day: a customs union
// or the country itself.
func (t Tables) TerritoryOf(country bom.Country, day bom.Date) string {
	row, ok := best(t.Own.Territories, t.Reference.Territories, func(r Territory) int {
		return yes(during(r.From, r.To, day) && slices.Contains(r.Members, country))
	}, func(r Territory, _ int, _ bool) reference.Provenance {
		return reference.Provenance{Where: string(r.ID)}
	})
	if !ok {
		return string(country)
	}
	return string(row.Value.ID)
}

func yes(b bool) int {
	if b {
		return 1
	}
	return 0
}

// CurrencyOf gives the currency of a country on a day.
func (t Tables) CurrencyOf(country bom.Country, day bom.Date) (reference.Row[CountryRow], bool) {
	return best(t.Own.Countries, t.Reference.Countries, func(r CountryRow) int {
		return yes(r.Country == country && during(r.From, r.To, day))
	}, func(r CountryRow, at int, own bool) reference.Provenance {
		return t.provenance("countries", string(r.Country), r.From, r.Cite, r.CheckedOn, at, own)
	})
}

// places lists the names under which rows may speak of a destination, the
// narrowest first: region, country, customs territory.
func (t Tables) places(country bom.Country, region string, day bom.Date) []string {
	out := make([]string, 0, 3)
	if region != "" {
		out = append(out, string(country)+"-"+region)
	}
	return append(out, string(country), t.TerritoryOf(country, day))
}

// narrowness ranks a place among the names of a destination; 0 is no match.
func narrowness(place string, names []string) int {
	if i := slices.Index(names, place); i >= 0 {
		return len(names) - i
	}
	return 0
}

// ImportRuleFor gives the rule for goods dispatched from one country to a
// destination of another customs territory. A narrower place goes before a rule
// of one dispatch place, and that before one of the buyer kind.
func (t Tables) ImportRuleFor(dispatch bom.Country, d Destination, day bom.Date) (reference.Row[ImportRule], bool) {
	to, from := t.places(d.Country, d.Region, day), t.places(dispatch, "", day)
	return best(t.Own.ImportRules, t.Reference.ImportRules, func(r ImportRule) int {
		place := narrowness(r.Place, to)
		fits := during(r.From, r.To, day) && (r.Buyer == "" || r.Buyer == d.BuyerKind())
		origin := slices.ContainsFunc(r.DispatchedFrom, func(p string) bool { return slices.Contains(from, p) })
		if place == 0 || !fits || (len(r.DispatchedFrom) > 0 && !origin) {
			return 0
		}
		return 4*place + 2*yes(origin) + yes(r.Buyer != "")
	}, func(r ImportRule, at int, own bool) reference.Provenance {
		return t.provenance("import_rules", string(r.ID), r.From, r.Cite, r.CheckedOn, at, own)
	})
}

// DistanceSaleFor gives the rule for sales across borders within a territory.
func (t Tables) DistanceSaleFor(territory string, buyer BuyerKind, day bom.Date) (reference.Row[DistanceSale], bool) {
	return best(t.Own.DistanceSales, t.Reference.DistanceSales, func(r DistanceSale) int {
		fits := string(r.Territory) == territory && during(r.From, r.To, day) && (r.Buyer == "" || r.Buyer == buyer)
		return yes(fits) + yes(fits && r.Buyer != "")
	}, func(r DistanceSale, at int, own bool) reference.Provenance {
		return t.provenance("distance_sales", string(r.Territory), r.From, r.Cite, r.CheckedOn, at, own)
	})
}

// RegionsOf lists the regions of a destination's country whose rules are known;
// fits says whether the destination's is one of them, or has a row of its own.
func (t Tables) RegionsOf(d Destination, day bom.Date) (known []string, fits bool) {
	row, _ := t.CurrencyOf(d.Country, day)
	known = slices.Concat(row.Value.Regions, t.TaxRegions(d))
	place := d.Place()
	fits = d.Region == ""
	for _, rules := range []Rules{t.Own, t.Reference} {
		fits = fits || slices.ContainsFunc(rules.ImportRules, func(r ImportRule) bool { return r.Place == place }) ||
			slices.ContainsFunc(rules.ImportCharges, func(r ImportCharge) bool { return r.Place == place }) ||
			slices.ContainsFunc(rules.Tariff, func(r TariffRow) bool { return r.Territory == place })
	}
	slices.Sort(known)
	return slices.Compact(known), fits || slices.Contains(known, d.Region)
}

// TaxRegions lists the regions of a destination's country in which its buyer
// bears taxes of their own.
func (t Tables) TaxRegions(d Destination) []string {
	var out []string
	for r := range both(t.Own.Taxes, t.Reference.Taxes) {
		if r.Country == d.Country && r.Region != "" && (r.Buyer == "" || r.Buyer == d.BuyerKind()) {
			out = append(out, r.Region)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// TaxesOf gives the taxes a kind of buyer bears in a place on a day in the order
// of their rows, none if no row is known. Where a country has rows by region, those
// of the country hold only where no region is named; at the same level own rows
// replace reference rows.
func (t Tables) TaxesOf(country bom.Country, region string, buyer BuyerKind, day bom.Date) []reference.Row[TaxRow] {
	levels := []string{region}
	if region != "" && !t.taxedByRegion(country) {
		levels = append(levels, "")
	}
	for _, reg := range levels {
		for i, rows := range [][]TaxRow{t.Own.Taxes, t.Reference.Taxes} {
			if found := t.taxesIn(rows, country, reg, buyer, day, i == 0); len(found) > 0 {
				return found
			}
		}
	}
	return nil
}

func (t Tables) taxedByRegion(country bom.Country) bool {
	for r := range both(t.Own.Taxes, t.Reference.Taxes) {
		if r.Country == country && r.Region != "" {
			return true
		}
	}
	return false
}

func (t Tables) taxesIn(rows []TaxRow, country bom.Country, region string, buyer BuyerKind, day bom.Date, own bool) []reference.Row[TaxRow] {
	var found []reference.Row[TaxRow]
	for i, r := range rows {
		if r.Country == country && r.Region == region && (r.Buyer == "" || r.Buyer == buyer) && during(r.From, r.To, day) {
			what := strings.TrimSuffix(string(r.Country)+"-"+r.Region, "-") + " " + string(r.ID)
			found = append(found, reference.Row[TaxRow]{Value: r, Provenance: t.provenance("taxes", what, r.From, r.Cite, r.CheckedOn, i, own)})
		}
	}
	return dependents(found)
}

// dependents puts taxes in the order of their ids, each after those it is a share of
// or contains in its base.
func dependents(rows []reference.Row[TaxRow]) []reference.Row[TaxRow] {
	slices.SortStableFunc(rows, func(a, b reference.Row[TaxRow]) int { return cmp.Compare(a.Value.ID, b.Value.ID) })
	out := make([]reference.Row[TaxRow], 0, len(rows))
	for len(rows) > 0 {
		at := max(0, slices.IndexFunc(rows, func(r reference.Row[TaxRow]) bool {
			return !slices.ContainsFunc(rows, func(of reference.Row[TaxRow]) bool {
				return of.Value.ID != r.Value.ID && (of.Value.ID == r.Value.ShareOf || slices.Contains(r.Value.BaseContains, of.Value.ID))
			})
		}))
		out, rows = append(out, rows[at]), slices.Delete(rows, at, at+1)
	}
	return out
}

// ChargesAt gives the import charges of a place on a day. An own row replaces
// the reference rows with its id.
func (t Tables) ChargesAt(d Destination, day bom.Date) []reference.Row[ImportCharge] {
	names := t.places(d.Country, d.Region, day)
	var found []reference.Row[ImportCharge]
	taken := map[bom.ID]bool{}
	for i, rows := range [][]ImportCharge{t.Own.ImportCharges, t.Reference.ImportCharges} {
		mine := map[bom.ID]bool{}
		for j, r := range rows {
			if narrowness(r.Place, names) > 0 && during(r.From, r.To, day) && !taken[r.ID] {
				p := t.provenance("import_charges", r.Place+" "+string(r.ID), r.From, r.Cite, r.CheckedOn, j, i == 0)
				found = append(found, reference.Row[ImportCharge]{Value: r, Provenance: p})
				mine[r.ID] = true
			}
		}
		for id := range mine {
			taken[id] = true
		}
	}
	return found
}
