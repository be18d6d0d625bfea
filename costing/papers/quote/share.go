package quote

import (
	"kerfbook/costing/graph"
)

// shareOut divides an amount over lines by their weights, so that the shares are
// whole multiples of the step and add up to the amount: each is what the lines up
// to it bear, rounded, less what those before it bear, rounded. The weights must
// add up to the total, and the amount must be a multiple of the step. scopes and
// weights go by line.
func shareOut(scopes []graph.Scope, name, label string, amount, total, step graph.ID, weights []graph.ID) []graph.ID {
	out := make([]graph.ID, len(weights))
	before, upTo := graph.None, graph.None
	for i, s := range scopes {
		if upTo == graph.None {
			upTo = weights[i]
		} else {
			upTo = s.Add(name+"-weight", "weight of the lines up to this one", upTo, weights[i])
		}
		exact := s.Divide(name+"-unrounded", label+" up to this line, before rounding",
			s.Multiply(name+"-weighted", label+" × weight of the lines up to this one", amount, upTo), total)
		if before == graph.None {
			out[i] = s.Round(name, label, exact, step)
			before = out[i]
			continue
		}
		rounded := s.Round(name+"-up-to", label+" up to this line", exact, step)
		out[i] = s.Subtract(name, label, rounded, before)
		before = rounded
	}
	return out
}
