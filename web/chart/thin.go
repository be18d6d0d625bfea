package chart

// Point is a point of a curve.
type Point struct{ X, Y float64 }

// Most points that all paths of one chart have, and columns of the plot that are
// told apart to begin with.
const (
	mostPoints   = 1000
	finestColumn = 240
	fewestColumn = 15
)

// thin leaves out points of runs until no more than most are left, column
// by column of the plot. Of a run it keeps the first and last point and in each
// column the lowest and highest; of runs that lie within one column it keeps
// those with the lowest and highest point of the column. What is kept of one run
// stays one run: no line is ever led over a break. x gives the share of the width
// at which a point stands.
func thin(runs [][]Point, most int, x func(Point) float64) [][]Point {
	out := runs
	for columns := finestColumn; count(out) > most && columns >= fewestColumn; columns /= 2 {
		column := func(p Point) int { return min(columns-1, int(x(p)*float64(columns))) }
		out = dropShort(runs, column)
		for i, r := range out {
			out[i] = thinRun(r, column)
		}
	}
	return out
}

func count(runs [][]Point) int {
	n := 0
	for _, r := range runs {
		n += len(r)
	}
	return n
}

// thinRun keeps the ends of a run, and the lowest and highest point of each
// column, in their order.
func thinRun(run []Point, column func(Point) int) []Point {
	var out []Point
	for from := 0; from < len(run); {
		to := from
		low, high := from, from
		for ; to < len(run) && column(run[to]) == column(run[from]); to++ {
			if run[to].Y < run[low].Y {
				low = to
			}
			if run[to].Y > run[high].Y {
				high = to
			}
		}
		for i := from; i < to; i++ {
			if i == 0 || i == len(run)-1 || i == low || i == high {
				out = append(out, run[i])
			}
		}
		from = to
	}
	return out
}

// dropShort leaves out runs within one column whose neighbours show as much. The
// first and last run always stay.
func dropShort(runs [][]Point, column func(Point) int) [][]Point {
	low, high := map[int]extreme{}, map[int]extreme{}
	within := func(r []Point) bool { return column(r[0]) == column(r[len(r)-1]) }
	for i, r := range runs {
		if !within(r) {
			continue
		}
		c := column(r[0])
		for _, p := range r {
			if e, ok := low[c]; !ok || p.Y < e.y {
				low[c] = extreme{i, p.Y}
			}
			if e, ok := high[c]; !ok || p.Y > e.y {
				high[c] = extreme{i, p.Y}
			}
		}
	}
	var out [][]Point
	for i, r := range runs {
		c := column(r[0])
		if i == 0 || i == len(runs)-1 || !within(r) || low[c].run == i || high[c].run == i {
			out = append(out, r)
		}
	}
	return out
}

// extreme is where the lowest or highest point of a column is.
type extreme struct {
	run int
	y   float64
}
