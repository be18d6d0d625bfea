package estimate_test

import (
	"fmt"
	"math/big"
	"slices"
	"strings"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/estimate"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
)

// TestOperationsByPieceAddUp: what the operations of a part without children cost
// by piece is its making, and the minutes by piece are those of the batch.
func TestOperationsByPieceAddUp(t *testing.T) {
	t.Parallel()
	s := evaluatedBatch(t, atHome(t), "plain=37", "glow=11")
	parts, loads := 0, 0
	for _, p := range s.est.Parts {
		key := "part/" + string(p.Def.Number) + "/"
		making := new(big.Rat)
		for _, op := range p.Def.Routing {
			at := fmt.Sprintf("%sop/%d/", key, op.Number)
			cost := new(big.Rat)
			for _, k := range estimate.OperationKinds() {
				each := at + "each/" + k.OperationKey()
				if !s.Has(each) {
					continue
				}
				cost = ft.Plus(cost, s.key(each))
				if slices.Contains(estimate.MakingCosts.Kinds(), k) {
					making = ft.Plus(making, s.key(each))
				}
			}
			for _, id := range s.est.Graph.Node(s.ID(at + "each/cost-batch")).Args {
				if key := s.est.Graph.Node(id).Key; !onALine(strings.TrimSuffix(key, "-converted")) {
					t.Errorf("%s is charged, and no kind in kindEntries shows it in its operation line", key)
				}
			}
			ft.Same(t, at+"each/cost", s.key(at+"each/cost"), cost)
			for _, of := range []string{"tool-changes", "load-handling", "probing"} {
				if s.Has(at + "each/" + of) {
					loads++
					load := ft.Rat("1")
					if s.Has(at + "pieces-per-load") {
						load = s.key(at + "pieces-per-load")
					}
					almost(t, at+of, ft.Times(s.key(at+"each/"+of), load), s.key(at+of))
				}
			}
			if s.Has(at + "occupied") {
				ft.Same(t, at+"each/minutes", ft.Times(s.key(at+"each/minutes"), s.key(key+"need-unrounded")), s.key(at+"occupied"))
			}
		}
		if len(p.Def.Routing) > 0 && len(p.Def.Children) == 0 {
			parts++
			ft.Same(t, key, making, s.rat(p.Making))
		}
	}
	if parts < 4 || loads < 4 {
		t.Errorf("only %d parts were made of stock, and loads took %d times", parts, loads)
	}
}

// onALine reports that a table of operations has a column for a figure of one.
func onALine(key string) bool {
	return slices.ContainsFunc(estimate.OperationColumns(), func(c estimate.OperationColumn) bool {
		return slices.Contains(c.Batch, key[strings.LastIndex(key, "/")+1:])
	})
}

// TestTimeLeftOverIsNoDust: set-up, piece, load and what is left over add up to the
// minutes by piece, and where nothing is left over that is nothing at all, and not
// what rounding to 34 digits leaves.
func TestTimeLeftOverIsNoDust(t *testing.T) {
	t.Parallel()
	dust := ft.Rat("0.00000000000000000001")
	none, some := 0, 0
	for _, mix := range [][]string{{"plain=37", "glow=11"}, {"plain=7"}, {"glow=13"}, {"plain=300", "glow=90"}} {
		b := atHome(t)
		for i := range b.Parts {
			for j := range b.Parts[i].Routing {
				if op := &b.Parts[i].Routing[j]; j%2 == 0 || i%2 == 0 { // nothing is lost, and no load is part-filled
					op.Yield, op.SetupPieces, op.PiecesPerLoad = nil, nil, nil
				}
			}
		}
		s := evaluatedBatch(t, b, mix...)
		for _, p := range s.est.Parts {
			for _, op := range p.Def.Routing {
				at := fmt.Sprintf("part/%s/op/%d/", p.Def.Number, op.Number)
				if !s.Has(at+"each/rest") || op.Learning != nil {
					continue
				}
				sum := s.key(at + "each/rest")
				if new(big.Rat).Abs(sum).Cmp(dust) >= 0 {
					some++
				} else if none++; sum.Sign() != 0 {
					t.Errorf("%v: %seach/rest is %s", mix, at, sum.FloatString(40))
				}
				for _, name := range []string{"each/setup", "piece-time", "load-time-share"} {
					if s.Has(at + name) {
						sum = ft.Plus(sum, s.key(at+name))
					}
				}
				ft.Same(t, at, sum, s.key(at+"each/minutes"))
			}
		}
	}
	if none < 5 || some < 5 {
		t.Errorf("%d operations with nothing left over, %d with something", none, some)
	}
}

// TestBatchAddsUp: what a variant costs and earns as a batch is that of a piece times
// the pieces, and what the mix does is the sum of its variants.
func TestBatchAddsUp(t *testing.T) {
	t.Parallel()
	s := evaluatedBatch(t, atHome(t), "plain=37", "glow=11")
	pieces, full := new(big.Rat), new(big.Rat)
	proceeds, profit := map[bom.ID]*big.Rat{}, map[bom.ID]*big.Rat{}
	for _, v := range s.est.Variants {
		n := s.rat(v.Quantity)
		ft.Same(t, v.Name, s.rat(v.BatchFull), ft.Times(s.rat(v.Full), n))
		over := s.rat(v.Production)
		for _, id := range []graph.ID{v.Administration, v.Selling, v.SpecialSelling} {
			over = ft.Plus(over, s.rat(id))
		}
		ft.Same(t, v.Name+" with what is added to the cost of production", over, s.rat(v.Full))
		pieces, full = ft.Plus(pieces, n), ft.Plus(full, s.rat(v.BatchFull))
		for _, p := range v.Prices {
			if proceeds[p.Channel] == nil {
				proceeds[p.Channel], profit[p.Channel] = new(big.Rat), new(big.Rat)
			}
			proceeds[p.Channel] = ft.Plus(proceeds[p.Channel], ft.Times(s.rat(p.Proceeds), n))
			profit[p.Channel] = ft.Plus(profit[p.Channel], ft.Times(s.rat(p.Profit), n))
		}
	}
	total := s.est.Totals
	ft.Same(t, "pieces", s.rat(total.Quantity), pieces)
	ft.Same(t, "full cost", s.rat(total.Full), full)
	if len(total.Channels) == 0 || len(total.Channels) != len(proceeds) {
		t.Errorf("%d channels have totals, %d have prices", len(total.Channels), len(proceeds))
	}
	for _, c := range total.Channels {
		ft.Same(t, "proceeds", s.rat(c.Proceeds), proceeds[c.Channel])
		ft.Same(t, "profit", s.rat(c.Profit), profit[c.Channel])
		ft.Same(t, "margin", ft.Times(s.rat(c.Margin), s.rat(c.Proceeds)), s.rat(c.Profit))
	}
	if lone := build(t, atHome(t), mixOf("plain=37")); lone.Totals.Full != graph.None || len(lone.Totals.Channels) > 0 {
		t.Errorf("a mix of one variant has totals beside its own: %+v", lone.Totals)
	}
}
