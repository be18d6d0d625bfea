package feature

import "kerfbook/costing/graph"

// partOff takes nothing off the piece: its cut is kerf of the stock.
var partOff = Kind{cut: func(c *Cut) { c.inward(c.blade) }}

// blade cuts its whole width, and its cut cannot be split. Its depth of cut, in the
// sense of a removal rate, is that width; inner only marks that there is a pass.
func (c *Cut) blade(inner graph.ID) layers {
	c.whole = true
	return layers{rough: inner, fine: graph.None, step: graph.None, deepest: c.k.Tool.width()}
}
