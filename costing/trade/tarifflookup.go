package trade

import (
	"slices"
	"strconv"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/reference"
)

// Goods are what a tariff looks at in one line of a consignment.
type Goods struct {
	HSCode   string // with or without points
	National []bom.NationalCode
	Origin   bom.Country
}

// in gives the goods with the code that holds in the first of several places
// that has one of its own.
func (g Goods) in(names []string) Goods {
	for _, name := range names {
		for _, n := range g.National {
			if n.Place == name {
				g.HSCode = n.Code
				return g
			}
		}
	}
	return g
}

// Class gives the digits of the code.
func (g Goods) Class() string {
	return strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' {
			return r
		}
		return -1
	}, g.HSCode)
}

// SixDigits is the class that is common worldwide, or the whole code if it is
// shorter.
func (g Goods) SixDigits() string {
	c := g.Class()
	return c[:min(6, len(c))]
}

// TariffFor gives the duty rows for goods: the base row first, then the layers
// in order of their names. ok is false where no base row is known.
func (t Tables) TariffFor(g Goods, d Destination, day bom.Date) (rows []reference.Row[TariffRow], ok bool) {
	names := t.places(d.Country, d.Region, day)
	g = g.in(names)
	find := func(layer bom.ID) (reference.Row[TariffRow], bool) {
		return best(t.Own.Tariff, t.Reference.Tariff, func(r TariffRow) int {
			if r.Layer != layer {
				return 0
			}
			return r.rank(g, d.Preference, names, day)
		}, func(r TariffRow, at int, own bool) reference.Provenance {
			what := r.Territory + " " + strings.Join(r.Codes, ", ")
			return t.provenance("tariff", what, r.From, r.Cite, r.CheckedOn, at, own)
		})
	}
	base, ok := find("")
	if !ok {
		return nil, false
	}
	rows = append(rows, base)
	for _, layer := range t.layers() {
		if row, found := find(layer); found {
			rows = append(rows, row)
		}
	}
	return withoutExcluded(rows), true
}

// LongerCodes lists the codes of rows that hold in a place and begin with the
// code of the goods.
func (t Tables) LongerCodes(g Goods, d Destination, day bom.Date) []string {
	names := t.places(d.Country, d.Region, day)
	class := g.in(names).Class()
	var out []string
	for r := range both(t.Own.Tariff, t.Reference.Tariff) {
		for _, c := range r.Codes {
			if narrowness(r.Territory, names) > 0 && during(r.From, r.To, day) && r.Layer == "" && len(c) > len(class) && strings.HasPrefix(c, class) {
				out = append(out, c)
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// layers lists the names of all layers, in order.
func (t Tables) layers() []bom.ID {
	var names []bom.ID
	for r := range both(t.Own.Tariff, t.Reference.Tariff) {
		if r.Layer != "" {
			names = append(names, r.Layer)
		}
	}
	slices.Sort(names)
	return slices.Compact(names)
}

// withoutExcluded drops layers that another layer switches off.
func withoutExcluded(rows []reference.Row[TariffRow]) []reference.Row[TariffRow] {
	present := map[bom.ID]bool{}
	for _, r := range rows {
		present[r.Value.Layer] = true
	}
	return slices.DeleteFunc(rows, func(r reference.Row[TariffRow]) bool {
		return slices.ContainsFunc(r.Value.Unless, func(l bom.ID) bool { return present[l] })
	})
}

// rank orders the rows that fit: a claimed preference first, then the longer
// prefix, a named origin, the narrower place. 0 is no match.
func (r TariffRow) rank(g Goods, preference string, names []string, day bom.Date) int {
	place := narrowness(r.Territory, names)
	origin := slices.Contains(r.Origin, g.Origin)
	switch {
	case place == 0, !during(r.From, r.To, day), len(r.Origin) > 0 && !origin:
		return 0
	case r.Preference != "" && r.Preference != preference:
		return 0
	}
	length := 0
	for _, c := range r.Codes {
		length = max(length, matchLength(c, g.Class()))
	}
	if length == 0 {
		return 0
	}
	return 1000*yes(r.Preference != "") + 10*length + 5*yes(origin) + place
}

// matchLength is the number of digits by which a code of a row fits a class, and
// 1 for a range of chapters.
func matchLength(code, class string) int {
	if from, to, isRange := strings.Cut(code, "-"); isRange {
		chapter, err := strconv.Atoi(class[:min(2, len(class))])
		low, errLow := strconv.Atoi(from)
		high, errHigh := strconv.Atoi(to)
		return yes(err == nil && errLow == nil && errHigh == nil && low <= chapter && chapter <= high)
	}
	if code != "" && strings.HasPrefix(class, code) {
		return len(code)
	}
	return 0
}
