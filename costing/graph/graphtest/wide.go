package graphtest

import (
	"slices"
	"strconv"

	"kerfbook/costing/graph"
)

// wideCases have more terms than a spreadsheet function takes, and than a person reads
// as one sum: the numbers 1, 2, … 300.
func wideCases() []Case {
	const n = 300
	texts := make([]string, n)
	for i := range texts {
		texts[i] = strconv.Itoa(i + 1)
	}
	build := func(s graph.Scope) []graph.ID {
		all := numbers(s, texts...)
		lacking := append([]graph.ID{number(s, "lacking", Undefined)}, all...)
		pairs, few := []graph.ID{}, slices.Repeat(all[:1], n)
		for _, id := range all {
			pairs = append(pairs, id, id)
		}
		axis := graph.Axis{X: number(s, "x", "299.5"), Bands: graph.Bands{BelowClosed: make([]bool, n-1)}, Edges: all[1:]}
		return []graph.ID{
			s.Add("sum", "sum", all...), s.Add("sum-lacking", "sum with a term that is undefined", lacking...),
			s.SumProducts("squares", "sum of squares", pairs...),
			s.Minimum("smallest", "smallest", all...), s.Maximum("largest", "largest", all...),
			s.Multiply("product", "product", append(few, all[6])...),
			s.Least("least", "least", append(all[1:n:n], all[0])...),
			s.At("first", "first", all[0], all...), s.At("last", "last", all[n-1], all...),
			s.Band("band", "looked up", axis, all...),
		}
	}
	return []Case{{Name: "wide", Build: build,
		Want: []string{"45150", Undefined, "9045050", "1", "300", "7", "300", "1", "300", "299"}}}
}
