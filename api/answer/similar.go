package answer

import (
	"slices"
	"strings"

	"kerfbook/costing/graph"
)

// mostSimilar is how many keys are suggested.
const mostSimilar = 10

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
		if away, ok := editsBetween(key, k, most); ok {
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

// longestTyped bounds the keys that are compared letter by letter.
const longestTyped = 200

// editsBetween counts the bytes to change, add or take away between two texts
// (Levenshtein); ok is false where that is more than most.
func editsBetween(a, b string, most int) (edits int, ok bool) {
	if max(len(a), len(b)) > longestTyped || max(len(a)-len(b), len(b)-len(a)) > most {
		return 0, false
	}
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal, least := row[0], i+1
		row[0] = i + 1
		for j := range len(b) {
			change := diagonal
			if a[i] != b[j] {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, row[j+1]+1, row[j]+1)
			least = min(least, row[j+1])
		}
		if least > most {
			return 0, false
		}
	}
	return row[len(b)], row[len(b)] <= most
}
