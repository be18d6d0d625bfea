package bom

import "slices"

// MaterialOf gives the material that a part consists of: that of the stock of its
// blank, or the one material that everything made in an assembly consists of. It
// is empty where there is none or more than one, and where parts contain one
// another.
func MaterialOf(part *Part, parts map[ID]*Part, stocks []Stock) ID {
	m := materials{parts: parts, stocks: stocks, seen: map[ID]bool{}}
	m.collect(part)
	if len(m.found) != 1 {
		return ""
	}
	return m.found[0]
}

type materials struct {
	parts  map[ID]*Part
	stocks []Stock
	seen   map[ID]bool
	found  []ID
}

func (m *materials) collect(part *Part) {
	if part == nil || m.seen[part.Number] {
		return
	}
	m.seen[part.Number] = true
	if part.Blank != nil {
		at := slices.IndexFunc(m.stocks, func(s Stock) bool { return s.ID == part.Blank.Stock })
		if at >= 0 && !slices.Contains(m.found, m.stocks[at].Material) {
			m.found = append(m.found, m.stocks[at].Material)
		}
	}
	for _, c := range part.Children {
		m.collect(m.parts[c.Part])
	}
}
