package answer

import (
	"slices"
	"strings"

	"kerfbook/costing/graph"
	"kerfbook/costing/text"
)

// mostSimilar is how many keys are suggested; a key longer than the longest is no
// slip of the hand.
const mostSimilar, longestTyped = 10, 200

// Similar lists keys in place of one that is unknown: those a slip of the
// fingers away, the nearest first, then those that share its last element or
// contain it.
func Similar(g *graph.Graph, key string) []string {
	type near struct {
		key  string
		away int
	}
	var typed []near
	var alike []string
	last := key[strings.LastIndex(key, "/")+1:]
	most := max(2, len(key)/8)
	for id := range graph.ID(g.Len()) {
		k := g.Node(id).Key
		if away, ok := slip(key, k, most); ok {
			typed = append(typed, near{k, away})
		} else if len(alike) < mostSimilar && (strings.HasSuffix(k, "/"+last) || strings.Contains(k, key)) {
			alike = append(alike, k)
		}
	}
	slices.SortStableFunc(typed, func(a, b near) int { return a.away - b.away })
	var out []string
	for _, n := range typed {
		out = append(out, n.key)
	}
	out = append(out, alike...)
	return out[:min(mostSimilar, len(out))]
}

// slip counts the letters wrong between what was typed and a key.
func slip(typed, key string, most int) (away int, ok bool) {
	if len(typed) > longestTyped {
		return 0, false
	}
	return text.Distance(typed, key, most)
}
