package answer

import (
	"kerfbook/costing/book"
	"kerfbook/costing/book/check"
	"kerfbook/costing/graph"
	"kerfbook/costing/text"
)

// overrideUse finds the overrides in force on a day whose figure no estimate has.
type overrideUse struct {
	book   *book.Book
	open   []int          // places of those not met yet
	hints  map[int]string // a key that ends alike
	looked bool           // at an estimate
}

// look notes which overrides an estimate uses.
func (u *overrideUse) look(g *graph.Graph) {
	u.looked = true
	var left []int
	for _, i := range u.open {
		key := string(u.book.Overrides[i].Figure)
		if _, used := g.Computed(key); used {
			continue
		}
		left = append(left, i)
		if near := Similar(g, key); len(near) > 0 && u.hints[i] == "" {
			u.hints[i] = "; there is " + near[0]
		}
	}
	u.open = left
}

// unused warns of those that are left. Where nothing could be estimated it says
// nothing.
func (u *overrideUse) unused(places text.Places) []check.Problem {
	if !u.looked {
		return nil
	}
	var out []check.Problem
	for _, i := range u.open {
		p := check.UnusedOverride(u.book, i, u.hints[i])
		at := places.Of(p.Path)
		p.Line, p.Column = at.Line, at.Column
		out = append(out, p)
	}
	return out
}
