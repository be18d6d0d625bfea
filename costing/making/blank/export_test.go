package blank

import (
	"kerfbook/bom"
	"kerfbook/costing/graph"
)

// Count writes how many blanks a piece of stock yields, in piece, without what they
// cost.
func Count(s graph.Scope, def *bom.Blank, st Stock) graph.ID { return newPlan(s, def, st).perStock() }
