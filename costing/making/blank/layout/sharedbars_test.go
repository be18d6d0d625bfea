package layout

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
)

// fewest is the least number of bars, by trying every set of blanks for every bar.
type fewest struct {
	room  int64
	w     []int64
	known map[string]int64
}

func (f *fewest) bars(n []int64) int64 {
	if slices.Max(n) == 0 {
		return 0
	}
	key := fmt.Sprint(n)
	if b, ok := f.known[key]; ok {
		return b
	}
	best := int64(1 << 40)
	rest := slices.Clone(n)
	var fill func(at int, room int64, any bool)
	fill = func(at int, room int64, any bool) {
		if at == len(n) {
			if any {
				best = min(best, 1+f.bars(slices.Clone(rest)))
			}
			return
		}
		for c := int64(0); c <= n[at] && c*f.w[at] <= room; c++ {
			rest[at] = n[at] - c
			fill(at+1, room-c*f.w[at], any || c > 0)
		}
		rest[at] = n[at]
	}
	fill(0, f.room, false)
	f.known[key] = best
	return best
}

// cutAll holds patterns to what was asked: all blanks, no bar too full.
func cutAll(t *testing.T, what string, room int64, w, n []int64, list []BarPattern) {
	t.Helper()
	got := make([]int64, len(n))
	for _, p := range list {
		used := int64(0)
		for i, c := range p.Counts {
			got[i] += p.Times * c
			used += c * w[i]
		}
		if used > room || p.Times < 1 {
			t.Errorf("%s: a bar of %d holds %d, %d times", what, room, used, p.Times)
		}
	}
	if !slices.Equal(got, n) {
		t.Errorf("%s: %v are cut, %v wanted", what, got, n)
	}
}

// TestSharedBarsAgainstAllWays compares with the fewest bars there are; the search
// over patterns finds them in all of these.
func TestSharedBarsAgainstAllWays(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(5, 4))
	saved, worse := 0, 0
	for range 400 {
		k := 2 + rng.IntN(3)
		room := 60 + rng.Int64N(60)
		w, n := make([]int64, k), make([]int64, k)
		for i := range w {
			w[i], n[i] = 9+rng.Int64N(50), rng.Int64N(6)
		}
		n[0]++
		what := fmt.Sprintf("room %d, lengths %v, wanted %v", room, w, n)
		list := ShareBars(room, w, n)
		cutAll(t, what, room, w, n, list)
		want := (&fewest{room, w, map[string]int64{}}).bars(n)
		switch got := bars(list); {
		case got < want:
			t.Errorf("%s: %d bars, fewer than the %d there are", what, got, want)
		case got > want:
			worse++
		}
		if bars(list) < bars(aloneBars(room, w, n)) {
			saved++
		}
	}
	if worse > 0 {
		t.Errorf("%d of 400 take a bar more than needed", worse)
	}
	if saved < 100 {
		t.Errorf("sharing saves bars in %d cases only; they are too tame", saved)
	}
}

// TestSharedBarsInLots: thousands of blanks, never fewer bars than the lengths ask
// for, never more than each part for itself, nor the grid of a part alone.
func TestSharedBarsInLots(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(3000, 2))
	for range 200 {
		k := 1 + rng.IntN(9)
		room := 20_000 + rng.Int64N(40_000)
		w, n := make([]int64, k), make([]int64, k)
		for i := range w {
			w[i], n[i] = 150+rng.Int64N(9_000), 1+rng.Int64N(3000)
		}
		what := fmt.Sprintf("room %d, lengths %v, wanted %v", room, w, n)
		list := ShareBars(room, w, n)
		cutAll(t, what, room, w, n, list)
		if got := bars(list); got < leastBars(room, w, n) || got > bars(aloneBars(room, w, n)) {
			t.Errorf("%s: %d bars, least %d, alone %d", what, got, leastBars(room, w, n), bars(aloneBars(room, w, n)))
		}
		if k == 1 && bars(list) != (n[0]+room/w[0]-1)/(room/w[0]) {
			t.Errorf("%s: one part takes %d bars", what, bars(list))
		}
	}
}

// TestSharedSheets: everything is laid, inside the sheet, apart, turned only where
// allowed, on no more sheets than each part for itself.
func TestSharedSheets(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(12, 21))
	saved := 0
	for range 150 {
		u, v := 400+rng.Int64N(600), 300+rng.Int64N(400)
		var list []SheetBlank
		for range 2 + rng.IntN(4) {
			b := SheetBlank{Length: 30 + rng.Int64N(300), Width: 30 + rng.Int64N(250), Turn: rng.IntN(2) == 0, Wanted: rng.Int64N(40)}
			if b.PerFull = (u / b.Length) * (v / b.Width); b.PerFull > 0 {
				list = append(list, b)
			}
		}
		if len(list) < 2 || slices.Max(wanted(list)) == 0 {
			continue
		}
		found := ShareSheets(u, v, list)
		laidOut(t, u, v, list, found)
		if n, alone := sheets(found), sheets(aloneSheets(list)); n > alone {
			t.Errorf("%d sheets, %d if each part is for itself", n, alone)
		} else if n < alone {
			saved++
		}
	}
	if saved < 30 {
		t.Errorf("sharing saves sheets in %d cases only; they are too tame", saved)
	}
}

func laidOut(t *testing.T, u, v int64, list []SheetBlank, found []SheetPattern) {
	t.Helper()
	got := make([]int64, len(list))
	for _, p := range found {
		if p.Only >= 0 {
			got[p.Only] += p.Times * p.Count
			if p.Count > list[p.Only].PerFull {
				t.Errorf("%d blanks on a sheet for %d", p.Count, list[p.Only].PerFull)
			}
			continue
		}
		area := int64(0)
		for i, l := range p.Blanks {
			got[l.Blank] += p.Times
			area += l.At.Length * l.At.Width
			b := list[l.Blank]
			if l.Turned {
				b.Length, b.Width = b.Width, b.Length
			}
			if l.Turned && !b.Turn || l.At.Length != b.Length || l.At.Width != b.Width || l.At.X < 0 || l.At.Y < 0 || l.At.X+b.Length > u || l.At.Y+b.Width > v {
				t.Errorf("%+v of %+v on %d × %d", l, list[l.Blank], u, v)
			}
			for _, other := range p.Blanks[:i] {
				if o := other.At; l.At.X < o.X+o.Length && o.X < l.At.X+l.At.Length && l.At.Y < o.Y+o.Width && o.Y < l.At.Y+l.At.Width {
					t.Errorf("%+v and %+v overlap", l, other)
				}
			}
		}
		for _, f := range p.Free {
			area += f.Length * f.Width
		}
		if area != u*v {
			t.Errorf("blanks and what is left add up to %d of %d", area, u*v)
		}
	}
	if !slices.Equal(got, wanted(list)) {
		t.Errorf("%v laid, %v wanted", got, wanted(list))
	}
}
