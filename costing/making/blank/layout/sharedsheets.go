package layout

import "slices"

// Blanks of several parts on shared sheets: cuts from edge to edge, blank after
// blank into the free piece it fits best. Several orders are tried and the one with
// the fewest sheets is taken; it need not be the best there is.

// SheetBlank is a blank with its gap, in steps; a disc takes the square around it.
type SheetBlank struct {
	Length, Width int64
	Turn          bool  // it may be turned
	Wanted        int64 // how many
	PerFull       int64 // on a sheet of its own
}

// Placement is a blank on a shared sheet.
type Placement struct {
	Blank  int // which
	At     Box // with its gap
	Turned bool
}

// SheetPattern is one way of cutting a sheet. If Only is 0 or more, it is Count
// blanks of that part in the layout it has for itself.
type SheetPattern struct {
	Times  int64
	Only   int
	Count  int64
	Blanks []Placement
	Free   []Box // with their gaps
}

const (
	maxLaid = 1_500 // blanks on one sheet that are laid one by one
	maxKept = 400   // sheets that are laid one by one
)

// ShareSheets lays all blanks out on sheets of u × v, gap included; never on more
// than if each part had sheets for itself.
func ShareSheets(u, v int64, list []SheetBlank) []SheetPattern {
	best := aloneSheets(list)
	full, rest := fullSheets(list)
	// Neither start, order nor way of splitting is the best for all lots; each is cheap, so
	// all are tried.
	for _, start := range []struct {
		sheets []SheetPattern
		wanted []int64
	}{{full, rest}, {nil, wanted(list)}} {
		for _, by := range orders(list) {
			for _, shorter := range []bool{true, false} {
				m := &sheetLayout{u: u, v: v, list: list, order: by, shorter: shorter}
				// Only a strictly better plan replaces one, so that ties go to the simpler.
				if more, ok := m.all(start.wanted); ok && sheets(start.sheets)+sheets(more) < sheets(best) {
					best = append(slices.Clone(start.sheets), more...)
				}
			}
		}
	}
	return best
}

func sheets(list []SheetPattern) (n int64) {
	for _, p := range list {
		n += p.Times
	}
	return n
}

func wanted(list []SheetBlank) []int64 {
	out := make([]int64, len(list))
	for i, b := range list {
		out[i] = b.Wanted
	}
	return out
}

// fullSheets are the sheets that each part fills by itself, and what is then still
// wanted.
func fullSheets(list []SheetBlank) (full []SheetPattern, rest []int64) {
	for i, b := range list {
		if times := b.Wanted / b.PerFull; times > 0 {
			full = append(full, SheetPattern{Times: times, Only: i, Count: b.PerFull})
		}
		rest = append(rest, b.Wanted%b.PerFull)
	}
	return full, rest
}

func aloneSheets(list []SheetBlank) []SheetPattern {
	out, rest := fullSheets(list)
	for i, n := range rest {
		if n > 0 {
			out = append(out, SheetPattern{Times: 1, Only: i, Count: n})
		}
	}
	return out
}

// orders are the orders in which blanks are laid: by area, by longer side and by
// shorter side, the largest first.
func orders(list []SheetBlank) [][]int {
	sizes := []func(b SheetBlank) int64{
		func(b SheetBlank) int64 { return b.Length * b.Width },
		func(b SheetBlank) int64 { return max(b.Length, b.Width) },
		func(b SheetBlank) int64 { return min(b.Length, b.Width) },
	}
	var out [][]int
	for _, size := range sizes {
		w := make([]int64, len(list))
		for i, b := range list {
			w[i] = size(b)
		}
		out = append(out, LongestFirst(w))
	}
	return out
}

// sheetLayout lays sheets one after another; shorter says along which leftover a
// free piece is cut first.
type sheetLayout struct {
	u, v    int64
	list    []SheetBlank
	order   []int
	shorter bool
}

// all lays everything wanted; it is false where that takes too many steps.
func (m *sheetLayout) all(wanted []int64) ([]SheetPattern, bool) {
	rem := slices.Clone(wanted)
	var out []SheetPattern
	for slices.Max(rem) > 0 {
		p, counts := m.sheet(rem)
		if len(p.Blanks) == 0 || len(p.Blanks) > maxLaid || len(out) == maxKept {
			return nil, false
		}
		p.Times = take(rem, counts)
		out = append(out, p)
	}
	return out, true
}

// sheet lays one sheet.
func (m *sheetLayout) sheet(rem []int64) (SheetPattern, []int64) {
	p := SheetPattern{Only: -1, Free: []Box{{0, 0, m.u, m.v}}}
	counts := make([]int64, len(rem))
	for _, i := range m.order {
		for counts[i] < rem[i] && len(p.Blanks) <= maxLaid {
			at, turned := m.place(p.Free, m.list[i])
			if at < 0 {
				break
			}
			a, b := m.list[i].Length, m.list[i].Width
			if turned {
				a, b = b, a
			}
			piece := p.Free[at]
			p.Free = slices.Delete(p.Free, at, at+1)
			p.Blanks = append(p.Blanks, Placement{i, Box{piece.X, piece.Y, a, b}, turned})
			p.Free = append(p.Free, m.split(piece, a, b)...)
			counts[i]++
		}
	}
	return p, counts
}

// place finds the free piece in which a blank leaves the narrowest strip, -1 for
// none.
func (m *sheetLayout) place(free []Box, b SheetBlank) (at int, turned bool) {
	at, least := -1, int64(0)
	for i, f := range free {
		for _, turn := range []bool{false, true} {
			long, wide := b.Length, b.Width
			if turn {
				if !b.Turn || b.Length == b.Width {
					continue
				}
				long, wide = wide, long
			}
			if long > f.Length || wide > f.Width {
				continue
			}
			// A narrow strip is lost anyway; the wide rest stays in one piece for the next blank.
			if strip := min(f.Length-long, f.Width-wide); at < 0 || strip < least {
				at, turned, least = i, turn, strip
			}
		}
	}
	return at, turned
}

// split cuts what is left of a piece beside and above a blank of a × b.
func (m *sheetLayout) split(piece Box, a, b int64) []Box {
	beside := Box{piece.X + a, piece.Y, piece.Length - a, piece.Width}
	above := Box{piece.X, piece.Y + b, a, piece.Width - b}
	// One cut goes right through and decides which of both leftovers keeps the corner.
	if (beside.Length < above.Width) == m.shorter {
		beside.Width = b
		above.Length = piece.Length
	}
	var out []Box
	for _, f := range []Box{beside, above} {
		if f.Length > 0 && f.Width > 0 {
			out = append(out, f)
		}
	}
	return out
}
