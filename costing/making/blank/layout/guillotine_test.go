package layout

import (
	"math/rand/v2"
	"testing"
)

// allCuts is the most blanks that any sequence of cuts from edge to edge yields,
// tried at every step of both sides.
type allCuts struct {
	a, b  int64
	known map[[2]int64]int64
}

func (c *allCuts) most(u, v int64) int64 {
	if n, ok := c.known[[2]int64{u, v}]; ok {
		return n
	}
	n := int64(0)
	if u >= c.a && v >= c.b || u >= c.b && v >= c.a {
		n = 1
	}
	for x := int64(1); x < u; x++ {
		n = max(n, c.most(x, v)+c.most(u-x, v))
	}
	for y := int64(1); y < v; y++ {
		n = max(n, c.most(u, y)+c.most(u, v-y))
	}
	c.known[[2]int64{u, v}] = n
	return n
}

// walked goes through the layout found and adds up its grids.
func walked(t *testing.T, m *Guillotine, u, v int64) (n int64) {
	t.Helper()
	m.Walk(Box{0, 0, u, v}, m.a, m.b, 0, func(p Box, at int64, along bool) {
		if at <= 0 || along && at >= p.Length || !along && at >= p.Width {
			t.Errorf("a cut at %d of %+v", at, p)
		}
	}, func(p Box, g Grid) {
		if g.Columns*g.A > p.Length || g.Rows*g.B > p.Width {
			t.Errorf("%d × %d blanks of %d × %d on %+v", g.Columns, g.Rows, g.A, g.B, p)
		}
		n += g.Columns * g.Rows
	})
	return n
}

// TestMixedAgainstAllCuts: on every small sheet the search finds what trying every
// cut finds, and the layout it gives has as many blanks as it says.
func TestMixedAgainstAllCuts(t *testing.T) {
	t.Parallel()
	better := 0
	for a := int64(2); a <= 9; a++ {
		for b := int64(1); b <= a; b++ {
			oracle := &allCuts{a, b, map[[2]int64]int64{}}
			for u := int64(1); u <= 26; u++ {
				for v := int64(1); v <= u; v++ {
					m := NewGuillotine(u, v, a, b)
					if want := oracle.most(u, v); m.top.count != want || m.How != Complete {
						t.Fatalf("%d × %d of %d × %d: %d found (%v), %d by all cuts", a, b, u, v, m.top.count, m.How, want)
					}
					if n := walked(t, m, u, v); n != m.top.count {
						t.Fatalf("%d × %d of %d × %d: the layout has %d blanks, not %d", a, b, u, v, n, m.top.count)
					}
					if m.top.count > m.grid(u, v) {
						better++
					}
				}
			}
		}
	}
	if better == 0 {
		t.Error("a mixed layout is never better; the cases are too tame")
	}
}

// TestMixedExamples are layouts that can be checked on paper.
func TestMixedExamples(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		u, v, a, b, want int64
		why              string
	}{
		{9, 6, 3, 2, 9, "the area is used up, no layout can be better"},
		{5, 5, 3, 2, 3, "four go round a hole in the middle, which no cut from edge to edge makes"},
		{13, 10, 4, 3, 10, "120 of 130; grids have 9"},
		{10, 10, 7, 3, 4, "two lying, one strip of 3 standing: 3 + 1"},
		{7, 3, 7, 4, 0, "too wide either way"},
		{3, 7, 7, 3, 1, "only turned"},
	} {
		m := NewGuillotine(c.u, c.v, c.a, c.b)
		oracle := &allCuts{c.a, c.b, map[[2]int64]int64{}}
		if want := oracle.most(c.u, c.v); want != c.want {
			t.Errorf("%+v: all cuts give %d", c, want)
		}
		if m.top.count != c.want {
			t.Errorf("%+v: found %d", c, m.top.count)
		}
	}
}

// TestMixedIsMonotone: a longer or wider sheet never yields fewer, blanks never
// take more area than there is, and no grid has more.
func TestMixedIsMonotone(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(7, 11))
	for range 150 {
		a, b := 20+rng.Int64N(200), 20+rng.Int64N(200)
		u, v := 100+rng.Int64N(900), 100+rng.Int64N(900)
		m := NewGuillotine(u, v, a, b)
		if m.top.count*a*b > u*v || m.top.count < m.grid(u, v) {
			t.Errorf("%d × %d of %d × %d: %d", a, b, u, v, m.top.count)
		}
		if n := walked(t, m, u, v); n != m.top.count {
			t.Errorf("%d × %d of %d × %d: the layout has %d blanks, not %d", a, b, u, v, n, m.top.count)
		}
		if m.How != Complete {
			continue
		}
		for _, more := range [][2]int64{{u + 1, v}, {u, v + 1}, {u + rng.Int64N(50), v + rng.Int64N(50)}} {
			if larger := NewGuillotine(more[0], more[1], a, b); larger.How == Complete && larger.top.count < m.top.count {
				t.Errorf("%d × %d of %d × %d: %d, but only %d of %v", a, b, u, v, m.top.count, larger.top.count, more)
			}
		}
	}
}

// TestSmallBlanksOnLargeSheets: searches that would take too long end early, say
// so, and are no worse than the grids.
func TestSmallBlanksOnLargeSheets(t *testing.T) {
	t.Parallel()
	seen := map[Thoroughness]bool{}
	for _, c := range [][4]int64{
		{3000_0000, 1500_0000, 1_0000, 1_0000}, {3000_0000, 1500_0000, 1_0001, 9999}, {3000, 1500, 2, 1},
		{30000, 15000, 307, 211}, {2147483000, 2147483000, 3, 2}, {30000, 15000, 1307, 911}, {12500, 10000, 433, 297}, {12500, 10000, 1433, 1297},
	} {
		m := NewGuillotine(c[0], c[1], c[2], c[3])
		seen[m.How] = true
		if m.top.count < m.grid(c[0], c[1]) {
			t.Errorf("%v: %d is fewer than a grid", c, m.top.count)
		}
		if n := walked(t, m, c[0], c[1]); n != m.top.count {
			t.Errorf("%v (%v): the layout has %d blanks, not %d", c, m.How, n, m.top.count)
		}
		if m.looks < -1 {
			t.Errorf("%v: %d looks beyond the bound", c, -m.looks)
		}
	}
	for how := Complete; how <= GridsOnly; how++ {
		if !seen[how] {
			t.Errorf("no case ends as %q", how.Rule())
		}
	}
}
