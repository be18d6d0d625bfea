package bom

import "slices"

// MaterialOf gives the material that a part consists of: that of the stock of its
// blank, or the one material that everything made in an assembly consists of. It
// is empty where there is none or more than one, and where parts contain one
// another. Lost is a part of theirs that is not among the parts, or a stock that is
// not among the stocks or has no material.
func MaterialOf(part *Part, parts map[ID]*Part, stocks []Stock) (material, lost ID) {
	m := materials{parts: parts, stocks: stocks, seen: map[ID]bool{}}
	m.collect(part)
	if len(m.found) == 1 && m.lost == "" {
		material = m.found[0]
	}
	return material, m.lost
}

type materials struct {
	parts  map[ID]*Part
	stocks []Stock
	seen   map[ID]bool
	found  []ID
	lost   ID
}

func (m *materials) collect(part *Part) {
	if part == nil || m.seen[part.Number] {
		return
	}
	m.seen[part.Number] = true
	if part.Blank != nil {
		at := slices.IndexFunc(m.stocks, func(s Stock) bool { return s.ID == part.Blank.Stock })
		switch {
		case at < 0 || m.stocks[at].Material == "":
			m.lost = part.Blank.Stock
		case !slices.Contains(m.found, m.stocks[at].Material):
			m.found = append(m.found, m.stocks[at].Material)
		}
	}
	if g := part.FirstGuess; g != nil && part.Blank == nil && !slices.Contains(m.found, g.Material) {
		m.found = append(m.found, g.Material)
	}
	for _, c := range part.Children {
		if m.parts[c.Part] == nil {
			m.lost = c.Part
		}
		m.collect(m.parts[c.Part])
	}
}
