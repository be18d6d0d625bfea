package simulate

import "math"

// firstRound is how many blocks are drawn before the precision is looked at for
// the first time; fewer replicates would often stop too early by luck.
const firstRound = 16

// nextRound is the number of blocks at which the precision is looked at next:
// fixed counts, each twice the last, whatever the number of cores.
func nextRound(made, total int) int {
	return min(total, max(firstRound, 2*made))
}

// reached reports whether the quantile is known as well as asked.
func (p *Precision) reached(s *sample) bool {
	q := s.quantile(p.P)
	return q.Error <= p.Relative*math.Abs(q.Value)
}
