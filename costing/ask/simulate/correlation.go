package simulate

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"kerfbook/costing/graph"
)

// group is a set of inputs joined by correlations, directly or through others.
type group struct {
	members []int // indexes in subject.inputs, by key
	// factor is the lower triangle L of the Cholesky factor of the correlation
	// of the members' normal scores, row by row.
	factor [][]float64
}

// pearson gives the linear correlation of two normal variables whose rank
// correlation is given (Pearson 1907; from memory).
func pearson(rank float64) float64 { return 2 * math.Sin(math.Pi*rank/6) }

// correlate checks the correlations and factors each group. An input that does
// not vary here takes no part: that is what the joint spread of the others is
// when it is left out of sight.
func (s *subject) correlate() error {
	if err := s.checkCorrelations(); err != nil {
		return err
	}
	matrix := map[[2]graph.ID]float64{}
	for _, c := range s.request.Correlations {
		matrix[pair(c.A, c.B)] = pearson(c.Rank)
	}
	for _, set := range joined(s.request.Correlations) {
		// The whole set first, also members that do not vary here: a request is either right or
		// wrong, whatever figure is asked for.
		if _, ok := cholesky(correlations(matrix, set)); !ok {
			return s.notDefinite(set)
		}
		var ids []graph.ID
		var g group
		for i, in := range s.inputs {
			if slices.Contains(set, in.id) {
				g.members, ids = append(g.members, i), append(ids, in.id)
			}
		}
		if len(ids) < 2 {
			continue
		}
		var ok bool
		if g.factor, ok = cholesky(correlations(matrix, ids)); !ok {
			return s.notDefinite(ids)
		}
		for _, m := range g.members {
			s.inputs[m].group = len(s.groups)
		}
		s.groups = append(s.groups, g)
	}
	return nil
}

func (s *subject) notDefinite(set []graph.ID) error {
	var inputs []string
	for _, id := range set {
		inputs = append(inputs, words(s.g, id))
	}
	return &RequestError{"correlations", fmt.Sprintf("the rank correlations between %s contradict one another", strings.Join(inputs, "; ")), "bring them nearer to 0"}
}

func (s *subject) checkCorrelations() error {
	seen := map[[2]graph.ID]bool{}
	for i, c := range s.request.Correlations {
		at := place("correlations", i)
		for _, end := range []struct {
			name string
			id   graph.ID
		}{{".a", c.A}, {".b", c.B}} {
			if s.g.Node(end.id).Op != graph.Range {
				return &RequestError{at + end.name, words(s.g, end.id) + " is not a range", "name inputs that are ranges"}
			}
		}
		switch {
		case c.A == c.B:
			return &RequestError{at, words(s.g, c.A) + " with itself", "name two different inputs"}
		case seen[pair(c.A, c.B)]:
			return &RequestError{at, words(s.g, c.A) + " and " + words(s.g, c.B) + " are named twice", "give each pair once"}
		case !(math.Abs(c.Rank) < 1):
			return &RequestError{at + ".rank", fmt.Sprintf("%v is no rank correlation of two inputs", c.Rank), "give one between −1 and 1, neither included, such as 0.9; inputs that are always equal are one input, entered once"}
		}
		seen[pair(c.A, c.B)] = true
	}
	return nil
}

func pair(a, b graph.ID) [2]graph.ID { return [2]graph.ID{min(a, b), max(a, b)} }

// correlations writes the matrix of some inputs; a pair not named is 0.
func correlations(of map[[2]graph.ID]float64, ids []graph.ID) [][]float64 {
	m := make([][]float64, len(ids))
	for i, a := range ids {
		m[i] = make([]float64, len(ids))
		for j, b := range ids {
			m[i][j] = of[pair(a, b)]
		}
		m[i][i] = 1
	}
	return m
}

// leastPivot is the share of an input's spread that must be its own: below it
// two inputs are the same for all that can be drawn.
const leastPivot = 1e-9

// cholesky factors a correlation matrix into L with L·Lᵀ = m; ok is false where m
// is not positive definite.
func cholesky(m [][]float64) (l [][]float64, ok bool) {
	l = make([][]float64, len(m))
	for i := range m {
		l[i] = make([]float64, i+1)
		for j := range i + 1 {
			rest := m[i][j]
			for k := range j {
				rest -= l[i][k] * l[j][k]
			}
			if i != j {
				l[i][j] = rest / l[j][j]
				continue
			}
			if !(rest > leastPivot) {
				return nil, false
			}
			l[i][i] = math.Sqrt(rest)
		}
	}
	return l, true
}

// joined lists the sets of figures that correlations join, directly or through
// others, each in order, by their smallest ID.
func joined(by []Correlation) [][]graph.ID {
	var sets [][]graph.ID
	for _, c := range by {
		if c.Rank == 0 {
			continue
		}
		set := []graph.ID{c.A, c.B}
		sets = slices.DeleteFunc(sets, func(other []graph.ID) bool {
			joins := slices.Contains(other, c.A) || slices.Contains(other, c.B)
			if joins {
				set = append(set, other...)
			}
			return joins
		})
		slices.Sort(set)
		sets = append(sets, slices.Compact(set))
	}
	slices.SortFunc(sets, func(a, b []graph.ID) int { return cmp.Compare(a[0], b[0]) })
	return sets
}

// correlateScores turns independent numbers between 0 and 1, one column per
// member, into dependent ones through normal scores: z = Φ⁻¹(u), z′ = L·z,
// u′ = Φ(z′). Every column alone stays evenly spread.
func (g *group) correlateScores(u [][]float64) {
	for _, m := range g.members {
		for i, p := range u[m] {
			u[m][i] = score(p)
		}
	}
	for row := len(g.members) - 1; row > 0; row-- { // the last first: rows above are still needed
		to := u[g.members[row]]
		for i := range to {
			sum := 0.0
			for k, l := range g.factor[row] {
				sum += l * u[g.members[k]][i]
			}
			to[i] = sum
		}
	}
	for _, m := range g.members {
		for i, z := range u[m] {
			u[m][i] = chance(z)
		}
	}
}

// score is the value that a standard normal variable stays below with chance p.
func score(p float64) float64 { return -math.Sqrt2 * math.Erfcinv(2*p) }

// chance is the chance that a standard normal variable stays below z.
func chance(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }
