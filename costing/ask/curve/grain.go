package curve

import (
	"slices"
	"strings"

	"kerfbook/costing/graph"
)

// The grain of a curve: what steps so often that its steps are no breaks.
const (
	grainShare = 3    // more than one step in so many quantities
	grainRow   = 30   // of so many in a row, or of the whole range
	grainMoney = 1000 // or a rounding of money to less than one part in so many
)

// sift parts the turns of every step into breaks and grain.
func (s *scan) sift() {
	s.breaks, s.grain = make([][]bool, len(s.turns)), make([][]int32, len(s.turns))
	for i, turns := range s.turns {
		s.breaks[i] = make([]bool, s.all)
		fine := s.isGrain(i)
		for k, at := range turns {
			if fine[k] {
				s.grain[i] = append(s.grain[i], at)
			} else {
				s.breaks[i][at] = true
			}
		}
	}
}

// isGrain says of each turn of a step whether it is grain.
func (s *scan) isGrain(i int) []bool {
	turns := s.turns[i]
	out := make([]bool, len(turns))
	all := len(turns)*grainShare > s.all-1 || len(turns) > 0 && s.roundsMoney(i)
	const most = grainRow / grainShare
	for k := range out {
		out[k] = out[k] || all
		if k >= most && turns[k]-turns[k-most] < grainRow {
			for j := k - most; j <= k; j++ {
				out[j] = true
			}
		}
	}
	return out
}

// roundsMoney reports that a step rounds an amount of money to so small a part of
// it that nobody would call it a step: to the smallest coin.
func (s *scan) roundsMoney(i int) bool {
	n := s.w.g.Node(s.w.steps[i].node)
	if !slices.Contains([]graph.Op{graph.Floor, graph.Ceiling, graph.Round, graph.RoundEven}, n.Op) || !isMoney(n.Unit) {
		return false
	}
	v, err := s.w.at(s.w.request.To, nil)
	if err != nil {
		return false
	}
	return float(v, n.Args[1])*grainMoney < float(v, n.Args[0])
}

// isMoney reports that a unit starts with a currency, as units with one are
// written.
func isMoney(u graph.Unit) bool {
	first, _, _ := strings.Cut(u.String(), "/")
	first, _, _ = strings.Cut(first, "·")
	return len(first) == 3 && strings.ToUpper(first) == first
}
