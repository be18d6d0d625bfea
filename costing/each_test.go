package costing_test

import (
	"fmt"
	"math/big"
	"testing"
)

// TestOperationsByPieceAddUp: what the operations of a part without children cost
// by piece is its making, and the minutes by piece are those of the batch.
func TestOperationsByPieceAddUp(t *testing.T) {
	t.Parallel()
	s := estimate(t, atHome(t), "plain=37", "glow=11")
	parts := 0
	for _, p := range s.est.Parts {
		key := "part/" + string(p.Def.Number) + "/"
		making := new(big.Rat)
		for _, op := range p.Def.Routing {
			at := fmt.Sprintf("%sop/%d/", key, op.Number)
			cost := new(big.Rat)
			for _, name := range []string{"machine", "labour", "tools", "outside", "overhead"} {
				if s.has(at + "each/" + name) {
					cost = plus(cost, s.key(at+"each/"+name))
				}
			}
			making = plus(making, cost)
			if s.has(at + "each/material-overhead") {
				cost = plus(cost, s.key(at+"each/material-overhead"))
			}
			same(t, at+"each/cost", s.key(at+"each/cost"), cost)
			if s.has(at + "occupied") {
				same(t, at+"each/minutes", multiply(s.key(at+"each/minutes"), s.key(key+"need-unrounded")), s.key(at+"occupied"))
			}
		}
		if len(p.Def.Routing) > 0 && len(p.Def.Children) == 0 {
			parts++
			same(t, key, making, s.rat(p.Making))
		}
	}
	if parts < 4 {
		t.Errorf("only %d parts were made of stock", parts)
	}
}
