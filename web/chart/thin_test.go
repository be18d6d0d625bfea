package chart

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

func shareOfX(width float64) func(Point) float64 {
	return func(p Point) float64 { return p.X / width }
}

// noisyRuns makes runs of random lengths with random figures.
func noisyRuns(r *rand.Rand, points, longest int) [][]Point {
	var out [][]Point
	for n := 0; n < points; {
		var run []Point
		for range min(points-n, 1+r.IntN(longest)) {
			run = append(run, Point{float64(n), r.Float64()})
			n++
		}
		out = append(out, run)
	}
	return out
}

// TestThinningKeepsWhatIsSeen thins curves of thousands of points: few points are
// left, each from its run and in order, with the lowest and highest of every
// column and both ends of every run that is longer than a column.
func TestThinningKeepsWhatIsSeen(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(3, 5))
	for _, longest := range []int{1, 2, 7, 60, 900, 20000} {
		runs := noisyRuns(r, 20000, longest)
		x := shareOfX(20000)
		out := thin(runs, mostPoints, x)
		if n := count(out); n > mostPoints || n < mostPoints/8 {
			t.Errorf("runs up to %d: %d points are left", longest, n)
		}
		checkSubset(t, runs, out)
		if low, high := extremes(runs); !slices.Equal([]float64{low, high}, list(extremes(out))) {
			t.Errorf("runs up to %d: the lowest or highest point is gone", longest)
		}
		checkColumns(t, runs, out, x)
	}
}

func list(a, b float64) []float64 { return []float64{a, b} }

func extremes(runs [][]Point) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, r := range runs {
		for _, p := range r {
			low, high = min(low, p.Y), max(high, p.Y)
		}
	}
	return low, high
}

// checkSubset holds that each run that is left is part of one run there was.
func checkSubset(t *testing.T, runs, out [][]Point) {
	t.Helper()
	home := map[float64]int{}
	for i, r := range runs {
		for _, p := range r {
			home[p.X] = i
		}
	}
	last := math.Inf(-1)
	for _, r := range out {
		for _, p := range r {
			if home[p.X] != home[r[0].X] {
				t.Fatalf("a line is led over the break before %v", p.X)
			}
			if p.X <= last {
				t.Fatalf("%v comes after %v", p.X, last)
			}
			last = p.X
		}
		if first, end := runs[home[r[0].X]][0], runs[home[r[0].X]]; r[0] != first || r[len(r)-1] != end[len(end)-1] {
			t.Fatalf("a run that begins at %v lost an end", first.X)
		}
	}
}

// checkColumns compares the lowest and highest point in the coarsest columns that
// can have been used.
func checkColumns(t *testing.T, runs, out [][]Point, x func(Point) float64) {
	t.Helper()
	span := func(runs [][]Point) map[int][2]float64 {
		m := map[int][2]float64{}
		for _, r := range runs {
			for _, p := range r {
				c := int(x(p) * fewestColumn)
				s, ok := m[c]
				if !ok {
					s = [2]float64{p.Y, p.Y}
				}
				m[c] = [2]float64{min(s[0], p.Y), max(s[1], p.Y)}
			}
		}
		return m
	}
	want, got := span(runs), span(out)
	for c, s := range want {
		if got[c] != s {
			t.Errorf("column %d reaches over %v, drawn %v", c, s, got[c])
		}
	}
}

func TestShortCurvesAreLeftAlone(t *testing.T) {
	t.Parallel()
	runs := noisyRuns(rand.New(rand.NewPCG(1, 2)), mostPoints, 9)
	if out := thin(runs, mostPoints, shareOfX(mostPoints)); count(out) != mostPoints || len(out) != len(runs) {
		t.Errorf("%d points in %d runs are left", count(out), len(out))
	}
}
