package layout

import (
	"cmp"
	"slices"
)

// Blanks of several parts on shared bars: a cutting-stock problem. Lengths are in
// steps and contain the kerf; the room of a bar does so too. Greedy patterns come
// first, then the last bars are searched anew for one bar less.

// BarPattern is one way of cutting a bar: how many blanks of each part, and how many
// bars are cut like that.
type BarPattern struct {
	Times  int64
	Counts []int64
}

const (
	maxTries   = 60_000 // looks of one search over patterns
	SearchBars = 12     // bars at the end that are searched anew
)

// ShareBars cuts n[i] blanks of w[i] each from as few bars as it finds, never more
// than if each part had bars for itself. Every w must fit in room.
func ShareBars(room int64, w, n []int64) []BarPattern {
	// The baseline: sharing may never cost a bar, whatever the search does.
	best := aloneBars(room, w, n)
	least := leastBars(room, w, n)
	order := LongestFirst(w)
	for _, next := range []func(rem []int64) []int64{
		func(rem []int64) []int64 { return longestPattern(room, w, rem, order) },
		func(rem []int64) []int64 { return fullestPattern(room, w, rem, order) },
	} {
		if bars(best) <= least {
			return best
		}
		if found := repeated(n, next); bars(found) < bars(best) {
			best = found
		}
	}
	// The last bars of a greedy plan are the badly filled ones, and few enough to search.
	for bars(best) > least {
		better, ok := oneLess(room, w, best, order)
		if !ok {
			break
		}
		best = better
	}
	return best
}

func bars(list []BarPattern) (n int64) {
	for _, p := range list {
		n += p.Times
	}
	return n
}

// leastBars is the sum of all lengths over the room of a bar, rounded up.
func leastBars(room int64, w, n []int64) int64 {
	sum := room - 1
	for i := range w {
		sum += n[i] * w[i]
	}
	return sum / room
}

// aloneBars cuts each part from bars of its own.
func aloneBars(room int64, w, n []int64) []BarPattern {
	var out []BarPattern
	for i := range w {
		per := room / w[i]
		for _, p := range []struct{ times, count int64 }{{n[i] / per, per}, {1, n[i] % per}} {
			if p.times > 0 && p.count > 0 {
				counts := make([]int64, len(w))
				counts[i] = p.count
				out = append(out, BarPattern{p.times, counts})
			}
		}
	}
	return out
}

// LongestFirst gives the order of blanks by their lengths, the longest first.
func LongestFirst(w []int64) []int {
	order := make([]int, len(w))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(w[j], w[i]) })
	return order
}

// take says how often a pattern goes into what is wanted, and takes it off. A plan
// for a million blanks so has a handful of patterns, and a saw is set up once for
// each.
func take(rem, counts []int64) (times int64) {
	for i, c := range counts {
		if c > 0 && (times == 0 || rem[i]/c < times) {
			times = rem[i] / c
		}
	}
	for i, c := range counts {
		rem[i] -= times * c
	}
	return times
}

// repeated takes one pattern after another, each as often as the blanks wanted
// allow.
func repeated(n []int64, next func(rem []int64) []int64) []BarPattern {
	rem := slices.Clone(n)
	var out []BarPattern
	for slices.Max(rem) > 0 {
		counts := next(rem)
		out = append(out, BarPattern{take(rem, counts), counts})
	}
	return out
}

// longestPattern fills a bar with the longest blanks first (first fit, lengths
// falling).
func longestPattern(room int64, w, rem []int64, order []int) []int64 {
	counts := make([]int64, len(w))
	for _, i := range order {
		counts[i] = min(rem[i], room/w[i])
		room -= counts[i] * w[i]
	}
	return counts
}

// fullestPattern leaves as little of a bar as a bounded search finds.
func fullestPattern(room int64, w, rem []int64, order []int) []int64 {
	best, least := longestPattern(room, w, rem, order), room+1
	counts, tries := make([]int64, len(w)), maxTries/10
	var fill func(at int, room int64)
	fill = func(at int, room int64) {
		if tries--; tries < 0 || least == 0 {
			return
		}
		if at == len(order) {
			if room < least {
				best, least = slices.Clone(counts), room
			}
			return
		}
		i := order[at]
		for c := min(rem[i], room/w[i]); c >= 0; c-- {
			counts[i] = c
			fill(at+1, room-c*w[i])
		}
		counts[i] = 0
	}
	fill(0, room)
	return best
}

// oneLess cuts the blanks of the last bars again, from one bar less.
func oneLess(room int64, w []int64, list []BarPattern, order []int) ([]BarPattern, bool) {
	var kept []BarPattern
	rem, last := make([]int64, len(w)), int64(SearchBars)
	for _, p := range slices.Backward(list) {
		again := min(p.Times, last)
		last -= again
		for i, c := range p.Counts {
			rem[i] += again * c
		}
		if p.Times > again {
			kept = append(kept, BarPattern{p.Times - again, p.Counts})
		}
	}
	r := resaw{room: room, w: w, order: order, tries: maxTries}
	if !r.within(rem, SearchBars-last-1) {
		return nil, false
	}
	return append(kept, r.done...), true
}

// resaw searches for a way to cut what is wanted from a number of bars.
type resaw struct {
	room  int64
	w     []int64
	order []int
	tries int
	done  []BarPattern
}

func (r *resaw) within(rem []int64, bars int64) bool {
	switch r.tries--; {
	case slices.Max(rem) == 0:
		return true
	// Not even without any waste: no need to try.
	case r.tries < 0 || leastBars(r.room, r.w, rem) > bars:
		return false
	}
	return r.fill(rem, make([]int64, len(rem)), 0, r.room, bars)
}

// fill goes through the patterns of the next bar, which has the longest blank that
// is left; a pattern into which another blank fits is left out.
func (r *resaw) fill(rem, counts []int64, at int, room, bars int64) bool {
	if r.tries--; r.tries < 0 {
		return false
	}
	if at == len(r.order) {
		for i := range rem {
			// To leave room unused can never save a bar.
			if counts[i] < rem[i] && r.w[i] <= room {
				return false
			}
		}
		next := slices.Clone(rem)
		for i, c := range counts {
			next[i] -= c
		}
		if !r.within(next, bars-1) {
			return false
		}
		r.done = append(r.done, BarPattern{1, slices.Clone(counts)})
		return true
	}
	i := r.order[at]
	lowest := int64(0)
	if rem[i] > 0 && slices.Max(counts) == 0 {
		// The longest blank has to lie on some bar: letting that be the next leaves out all
		// plans that are the same bars in another order.
		lowest = 1
	}
	for c := min(rem[i], room/r.w[i]); c >= lowest; c-- {
		counts[i] = c
		if r.fill(rem, counts, at+1, room-c*r.w[i], bars) {
			return true
		}
	}
	counts[i] = 0
	return false
}
