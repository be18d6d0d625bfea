package simulate

import (
	"cmp"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/column"
	"kerfbook/costing/graph/exact"
)

// TestCorrelatedDraws correlates the ranks of what is drawn, and holds every margin
// to its own curve by the greatest distance between the two.
func TestCorrelatedDraws(t *testing.T) {
	t.Parallel()
	g, _, of := lines(t)
	all, _ := g.Find("all")
	r := &Request{Outputs: []graph.ID{all}, Draws: 1, Seed: 5, Correlations: []Correlation{
		{of[0], of[1], 0.5}, {of[2], of[1], -0.7}, {of[0], of[2], -0.2}, {of[3], of[4], 0.95}}}
	s := subjectOf(t, g, r)
	p, err := column.New(g, s.options(s.ids(), r.Outputs))
	if err != nil {
		t.Fatal(err)
	}
	const blocks = 40
	w := s.newWorker(p, saltDraws)
	drawn := make([][]float64, len(s.inputs))
	for b := range blocks {
		w.fill(b)
		for i := range drawn {
			drawn[i] = append(drawn[i], w.u[i]...)
		}
	}
	n := float64(blocks * column.Block)
	d := 1.63 / math.Sqrt(n) // exceeded by one independent sample in a hundred
	for i, in := range s.inputs {
		places := make([]int, len(drawn[i])) // of the values in order
		for j := range places {
			places[j] = j
		}
		slices.SortFunc(places, func(a, b int) int { return cmp.Compare(drawn[i][a], drawn[i][b]) })
		for rank, at := range places {
			x, share := drawn[i][at], float64(rank)/n
			if x < in.spread.Quantile(share+1/n-d) || x > in.spread.Quantile(share+d) {
				t.Fatalf("input %d: a share of %v of the draws is below %v", i, share, x)
			}
			drawn[i][at] = share // evenly spread, if the margin is right
		}
	}
	for pair, want := range map[[2]int]float64{{0, 1}: 0.5, {1, 2}: -0.7, {0, 2}: -0.2, {3, 4}: 0.95, {0, 3}: 0, {2, 4}: 0} {
		got := 0.0
		for i, u := range drawn[pair[0]] {
			got += 12 * (u - 0.5) * (drawn[pair[1]][i] - 0.5) / n
		}
		if math.Abs(got-want) > 4/math.Sqrt(n) {
			t.Errorf("rank correlation of %v is %.4f, want %.4f", pair, got, want)
		}
	}
}

// TestScoresInvert goes to normal scores and back, to where draws can come.
func TestScoresInvert(t *testing.T) {
	t.Parallel()
	for _, p := range []float64{1e-13, 1e-6, 0.02275013194817921, 0.5, 0.8413447460685429, 1 - 1e-9} {
		if back := chance(score(p)); math.Abs(back-p) > 1e-14+1e-12*p {
			t.Errorf("%v comes back as %v", p, back)
		}
	}
	if z := score(0.8413447460685429); math.Abs(z-1) > 1e-12 {
		t.Errorf("score of Φ(1) is %v", z)
	}
}

func TestCholesky(t *testing.T) {
	t.Parallel()
	m := [][]float64{{1, 0.5, 0.2}, {0.5, 1, -0.3}, {0.2, -0.3, 1}}
	l, ok := cholesky(m)
	if !ok {
		t.Fatal("refused")
	}
	for i := range m {
		for j := range i + 1 {
			sum := 0.0
			for k := range j + 1 {
				sum += l[i][k] * l[j][k]
			}
			if math.Abs(sum-m[i][j]) > 1e-15 {
				t.Errorf("L·Lᵀ at %d, %d is %v, want %v", i, j, sum, m[i][j])
			}
		}
	}
	for name, m := range map[string][][]float64{
		"contradiction": {{1, 0.9, -0.9}, {0.9, 1, 0.9}, {-0.9, 0.9, 1}},
		"singular":      {{1, 1}, {1, 1}},
		"no number":     {{1, math.NaN()}, {math.NaN(), 1}},
	} {
		if _, ok := cholesky(m); ok {
			t.Errorf("%s accepted", name)
		}
	}
}

// TestPearson: what normal scores must correlate by for a rank correlation.
func TestPearson(t *testing.T) {
	t.Parallel()
	for rank, want := range map[float64]float64{0: 0, 1: 1, -1: -1, 0.5: 0.5176380902050415} { // 2 sin 15°
		if got := pearson(rank); math.Abs(got-want) > 1e-15 {
			t.Errorf("rank %v: %v, want %v", rank, got, want)
		}
	}
}

// TestHeldInputLeavesItsGroup: the others stay as they are without it.
func TestHeldInputLeavesItsGroup(t *testing.T) {
	t.Parallel()
	g, total, of := lines(t)
	r := &Request{Outputs: []graph.ID{total}, Draws: 1, Hold: map[graph.ID]decimal.Decimal{of[1]: dec("5")}, Correlations: []Correlation{
		{of[0], of[1], 0.5}, {of[1], of[2], 0.5}, {of[3], of[4], 0.5}}}
	s := subjectOf(t, g, r)
	// a and c hang together through b only; without it 0 is left between them.
	if len(s.groups) != 1 || !slices.Equal(s.groups[0].members, []int{0, 1}) || s.groups[0].factor[1][0] != 0 {
		t.Errorf("groups %+v", s.groups)
	}
}

func TestCorrelationErrors(t *testing.T) {
	t.Parallel()
	g, total, of := lines(t)
	for name, c := range map[string]struct {
		pairs []Correlation
		field string
	}{
		"no range":     {[]Correlation{{of[0], of[1], 0.1}, {total, of[0], 0.5}}, "correlations[1].a"},
		"itself":       {[]Correlation{{of[0], of[0], 0.5}}, "correlations[0]"},
		"twice":        {[]Correlation{{of[0], of[1], 0.5}, {of[1], of[0], 0.5}}, "correlations[1]"},
		"one":          {[]Correlation{{of[0], of[1], 1}}, "correlations[0].rank"},
		"minus one":    {[]Correlation{{of[0], of[1], -1}}, "correlations[0].rank"},
		"no number":    {[]Correlation{{of[0], of[1], math.NaN()}}, "correlations[0].rank"},
		"out of sight": {[]Correlation{{of[0], of[1], 1e300}}, "correlations[0].rank"},
	} {
		_, err := newSubject(exact.New(g), &Request{Outputs: []graph.ID{total}, Draws: 1, Correlations: c.pairs})
		var refused *RequestError
		if !errors.As(err, &refused) || refused.Field != c.field || refused.Remedy == "" {
			t.Errorf("%s: %v", name, err)
		}
	}
	_, err := newSubject(exact.New(g), &Request{Outputs: []graph.ID{total}, Draws: 1, Correlations: []Correlation{
		{of[0], of[1], 0.9}, {of[1], of[2], 0.9}, {of[0], of[2], -0.9}, {of[3], of[4], 0.5}}})
	var refused *RequestError
	if !errors.As(err, &refused) || refused.Field != "correlations" || !strings.Contains(refused.Detail, "between input a; input b; input c contradict") {
		t.Errorf("contradiction: %v", err)
	}
}
