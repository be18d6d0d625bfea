package chart

import (
	"cmp"
	"slices"
)

// Spot is a mark on the axis of a chart, such as a quantile or a price. Class
// names the look of its line: "quantile", "likely", "target", "least" or
// "crossing".
type Spot struct {
	Mark
	Class string
	// Error is the standard error of the mark, for the table.
	Error Mark
	// Second is what goes with the mark: the chance of no more than a price, or
	// the figure at a quantity.
	Second Mark
}

// Flag is a spot with its place: a line, and a label above the plot at one side
// of it. Where there is little room only the name is shown, Text where there is
// more.
type Flag struct {
	Mark
	Second  Mark
	Class   string
	X       string
	End     bool // the label ends at the line rather than starting there
	TextY   int
	LineTop int
	at      float64
}

// Shift puts a little room between the line and its label.
func (f Flag) Shift() int {
	if f.End {
		return -flagGap
	}
	return flagGap
}

// Anchor is the end of the label that stands at the line.
func (f Flag) Anchor() string {
	if f.End {
		return "end"
	}
	return "start"
}

const (
	laneHeight = 17
	laneText   = 13 // from the top of a lane to the foot of its text
	flagGap    = 4
)

// flagSpots places the spots that have a value. Lanes are how many lines of
// labels stand above the plot.
func flagSpots(a Axis, spots []Spot) (flags []Flag, lanes int) {
	for _, s := range spots {
		if v, ok := s.place(); ok {
			flags = append(flags, Flag{Mark: s.Mark, Second: s.Second, Class: s.Class, X: percent(a.share(v)), at: v})
		}
	}
	slices.SortStableFunc(flags, func(x, y Flag) int { return cmp.Compare(x.at, y.at) })
	labels := make([]label, len(flags))
	for i, f := range flags {
		labels[i] = label{x: a.share(f.at), width: f.width()}
	}
	placed := placeLabels(labels)
	for i, l := range placed.labels {
		flags[i].End = l.end
		flags[i].TextY, flags[i].LineTop = l.lane*laneHeight+laneText, l.lane*laneHeight+2
	}
	return flags, placed.lanes
}

// width is what part of the plot the label needs, with or without its number.
func (f Flag) width() float64 {
	short := (textWidth(f.Label) + 2*flagGap) / narrowRoom
	long := textWidth(f.words()) + 2*flagGap
	if f.Second.Text != "" {
		long += textWidth(": " + f.Second.Text)
	}
	return max(short, long/wideRoom)
}

// label is a text beside a line at x, both as shares of the width.
type label struct {
	x, width float64
	end      bool
	lane     int
}

func (l label) reach() (from, to float64) {
	if l.end {
		return l.x - l.width, l.x
	}
	return l.x, l.x + l.width
}

// under tells whether a line that comes down at x would cross the label.
func (l label) under(x float64) bool {
	from, to := l.reach()
	return from < x && x < to
}

func (l label) touches(o label) bool {
	from, to := l.reach()
	ofrom, oto := o.reach()
	return from < oto && ofrom < to
}

// arrangement is one way of placing labels, with what is wrong with it.
type arrangement struct {
	labels  []label
	lanes   int
	crossed int     // lines that run through a label
	over    float64 // how far labels stick out
}

func (a arrangement) fault() float64 {
	return 1000*a.over + 10*float64(a.crossed) + float64(a.lanes)
}

// placeLabels finds sides and lanes for labels sorted by place, so that no label
// touches another and, where that can be had, none is crossed by a line. Up to
// some label all stand at one side of their line, from there on at the other; the
// best of all such ways is taken. Trying all ways to choose sides was no better.
func placeLabels(labels []label) arrangement {
	best := arrange(labels)
	for split := range len(labels) + 1 {
		for _, first := range []bool{true, false} {
			try := slices.Clone(labels)
			for i := range try {
				try[i].end = (i < split) == first
			}
			if a := arrange(try); a.fault() < best.fault() {
				best = a
			}
		}
	}
	return best
}

// arrange gives each label the highest lane in which it is below all labels that
// its own line would cross.
func arrange(labels []label) arrangement {
	a := arrangement{labels: slices.Clone(labels)}
	done := make([]bool, len(labels))
	for range labels {
		next := a.next(done)
		done[next] = true
		a.settle(next, done)
	}
	for _, l := range a.labels {
		from, to := l.reach()
		a.over += max(0, -from) + max(0, to-1)
		a.lanes = max(a.lanes, l.lane+1)
	}
	return a
}

// next picks a label that need not wait for another: none that is left has to
// stand above it. If there is none, the first that is left is crossed.
func (a *arrangement) next(done []bool) int {
	first := -1
	for i, l := range a.labels {
		if done[i] {
			continue
		}
		if first < 0 {
			first = i
		}
		waits := false
		for j, o := range a.labels {
			waits = waits || !done[j] && j != i && o.under(l.x)
		}
		if !waits {
			return i
		}
	}
	a.crossed++
	return first
}

// settle finds the lane of a label among those that have theirs.
func (a *arrangement) settle(i int, done []bool) {
	l := a.labels[i]
	for j, o := range a.labels {
		if done[j] && j != i && o.under(l.x) {
			l.lane = max(l.lane, o.lane+1)
		}
	}
	taken := func(lane int) bool {
		for j, o := range a.labels {
			if done[j] && j != i && o.lane == lane && l.touches(o) {
				return true
			}
		}
		return false
	}
	for taken(l.lane) {
		l.lane++
	}
	a.labels[i] = l
}
