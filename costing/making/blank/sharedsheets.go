package blank

import (
	"cmp"
	"slices"
)

// Blanks of several parts on shared sheets: cuts from edge to edge, blank after
// blank into the free piece it fits best. Several orders are tried and the one with
// the fewest sheets is taken; it need not be the best there is.

// sheetBlank is a blank with its gap, in steps; a disc takes the square around it.
type sheetBlank struct {
	a, b    int64
	turn    bool  // it may be turned
	wanted  int64 // how many
	perFull int64 // on a sheet of its own
}

// laid is a blank on a shared sheet.
type laid struct {
	blank  int // which
	at     box // with its gap
	turned bool
}

// sheetPattern is one way of cutting a sheet. If only is 0 or more, it is count
// blanks of that part in the layout it has for itself.
type sheetPattern struct {
	times  int64
	only   int
	count  int64
	blanks []laid
	free   []box // with their gaps
}

const (
	maxLaid = 1_500 // blanks on one sheet that are laid one by one
	maxKept = 400   // sheets that are laid one by one
)

// shareSheets lays all blanks out on sheets of u × v, gap included; never on more
// than if each part had sheets for itself.
func shareSheets(u, v int64, list []sheetBlank) []sheetPattern {
	best := aloneSheets(list)
	full, rest := fullSheets(list)
	for _, start := range []struct {
		sheets []sheetPattern
		wanted []int64
	}{{full, rest}, {nil, wanted(list)}} {
		for _, by := range orders(list) {
			for _, shorter := range []bool{true, false} {
				m := &sheetLayout{u: u, v: v, list: list, order: by, shorter: shorter}
				if more, ok := m.all(start.wanted); ok && sheets(start.sheets)+sheets(more) < sheets(best) {
					best = append(slices.Clone(start.sheets), more...)
				}
			}
		}
	}
	return best
}

func sheets(list []sheetPattern) (n int64) {
	for _, p := range list {
		n += p.times
	}
	return n
}

func wanted(list []sheetBlank) []int64 {
	out := make([]int64, len(list))
	for i, b := range list {
		out[i] = b.wanted
	}
	return out
}

// fullSheets are the sheets that each part fills by itself, and what is then still
// wanted.
func fullSheets(list []sheetBlank) (full []sheetPattern, rest []int64) {
	for i, b := range list {
		if times := b.wanted / b.perFull; times > 0 {
			full = append(full, sheetPattern{times: times, only: i, count: b.perFull})
		}
		rest = append(rest, b.wanted%b.perFull)
	}
	return full, rest
}

func aloneSheets(list []sheetBlank) []sheetPattern {
	out, rest := fullSheets(list)
	for i, n := range rest {
		if n > 0 {
			out = append(out, sheetPattern{times: 1, only: i, count: n})
		}
	}
	return out
}

// orders are the orders in which blanks are laid: by area, by longer side and by
// shorter side, the largest first.
func orders(list []sheetBlank) [][]int {
	sizes := []func(b sheetBlank) int64{
		func(b sheetBlank) int64 { return b.a * b.b },
		func(b sheetBlank) int64 { return max(b.a, b.b) },
		func(b sheetBlank) int64 { return min(b.a, b.b) },
	}
	var out [][]int
	for _, size := range sizes {
		order := make([]int, len(list))
		for i := range order {
			order[i] = i
		}
		slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(size(list[j]), size(list[i])) })
		out = append(out, order)
	}
	return out
}

// sheetLayout lays sheets one after another; shorter says along which leftover a
// free piece is cut first.
type sheetLayout struct {
	u, v    int64
	list    []sheetBlank
	order   []int
	shorter bool
}

// all lays everything wanted; it is false where that takes too many steps.
func (m *sheetLayout) all(wanted []int64) ([]sheetPattern, bool) {
	rem := slices.Clone(wanted)
	var out []sheetPattern
	for slices.Max(rem) > 0 {
		p, counts := m.sheet(rem)
		if len(p.blanks) == 0 || len(p.blanks) > maxLaid || len(out) == maxKept {
			return nil, false
		}
		for i, c := range counts {
			if c > 0 && (p.times == 0 || rem[i]/c < p.times) {
				p.times = rem[i] / c
			}
		}
		for i, c := range counts {
			rem[i] -= p.times * c
		}
		out = append(out, p)
	}
	return out, true
}

// sheet lays one sheet.
func (m *sheetLayout) sheet(rem []int64) (sheetPattern, []int64) {
	p := sheetPattern{only: -1, free: []box{{0, 0, m.u, m.v}}}
	counts := make([]int64, len(rem))
	for _, i := range m.order {
		for counts[i] < rem[i] && len(p.blanks) <= maxLaid {
			at, turned := m.place(p.free, m.list[i])
			if at < 0 {
				break
			}
			a, b := m.list[i].a, m.list[i].b
			if turned {
				a, b = b, a
			}
			piece := p.free[at]
			p.free = slices.Delete(p.free, at, at+1)
			p.blanks = append(p.blanks, laid{i, box{piece.x, piece.y, a, b}, turned})
			p.free = append(p.free, m.split(piece, a, b)...)
			counts[i]++
		}
	}
	return p, counts
}

// place finds the free piece in which a blank leaves the narrowest strip, -1 for
// none.
func (m *sheetLayout) place(free []box, b sheetBlank) (at int, turned bool) {
	at, least := -1, int64(0)
	for i, f := range free {
		for _, turn := range []bool{false, true} {
			long, wide := b.a, b.b
			if turn {
				if !b.turn || b.a == b.b {
					continue
				}
				long, wide = wide, long
			}
			if long > f.length || wide > f.width {
				continue
			}
			if strip := min(f.length-long, f.width-wide); at < 0 || strip < least {
				at, turned, least = i, turn, strip
			}
		}
	}
	return at, turned
}

// split cuts what is left of a piece beside and above a blank of a × b.
func (m *sheetLayout) split(piece box, a, b int64) []box {
	beside := box{piece.x + a, piece.y, piece.length - a, piece.width}
	above := box{piece.x, piece.y + b, a, piece.width - b}
	if (beside.length < above.width) == m.shorter {
		beside.width = b
		above.length = piece.length
	}
	var out []box
	for _, f := range []box{beside, above} {
		if f.length > 0 && f.width > 0 {
			out = append(out, f)
		}
	}
	return out
}
