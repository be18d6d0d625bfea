package estimate_test

import (
	"fmt"
	"math/big"
	"strings"
	"testing"

	"kerfbook/costing/estimate"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
)

// TestRejectsAreContained: what the good pieces of a part or variant have cost up
// to the end, with what was rejected on the way and what set-ups used up, each at
// what it had cost where it was lost, is the cost of the batch. So the cost of
// rejects is a share of the cost and never on top of it.
func TestRejectsAreContained(t *testing.T) {
	t.Parallel()
	for _, words := range mixes {
		s := evaluatedBatch(t, atHome(t), words...)
		shown := 0
		for _, p := range s.est.Parts {
			shown += s.rejectsContained("part/"+string(p.Def.Number), operationNumbers(p), s.rat(p.Need))
		}
		for _, v := range s.est.Variants {
			shown += s.rejectsContained("variant/"+v.Line.Name(), []int{10, 20, 30}, s.rat(v.Quantity))
		}
		if shown < 5 {
			t.Errorf("%v: rejects are shown at %d operations only", words, shown)
		}
	}
}

func operationNumbers(p estimate.Part) []int {
	var out []int
	for _, o := range p.Def.Routing {
		out = append(out, o.Number)
	}
	return out
}

// rejectsContained checks one owner of a routing and gives the number of
// operations at which rejects are shown.
func (s sheet) rejectsContained(owner string, numbers []int, good *big.Rat) int {
	s.T.Helper()
	if len(numbers) == 0 || good.Sign() == 0 {
		return 0
	}
	last := fmt.Sprintf("%s/op/%d/", owner, numbers[len(numbers)-1])
	if !s.Has(last + "so-far") {
		return 0
	}
	shown := 0
	parts, added := ft.Times(good, s.key(last+"so-far")), new(big.Rat)
	for _, n := range numbers {
		at := fmt.Sprintf("%s/op/%d/", owner, n)
		if s.Has(at + "reject-cost-batch") {
			parts = ft.Plus(parts, s.key(at+"reject-cost-batch"))
			shown++
		}
		if s.Has(at + "setup-pieces-used") {
			parts = ft.Plus(parts, ft.Times(s.key(at+"setup-pieces-used"), s.key(at+"so-far")))
		}
		if s.Has(at + "added-batch") {
			added = ft.Plus(added, s.key(at+"added-batch"))
		}
	}
	ft.Same(s.T, owner+": the cost of the batch in its pieces", parts, added)
	ft.Same(s.T, owner+": the cost of the batch", added, s.batchCost(owner))
	return shown
}

// batchCost is the sum of the batch figures by kind, with what children carry of
// their special direct cost.
func (s sheet) batchCost(owner string) *big.Rat {
	sum := new(big.Rat)
	for _, k := range estimate.Kinds() {
		each := owner + "/each/" + k.Key()
		if k == estimate.SpecialCost {
			each += "-children"
		}
		if s.Has(each) {
			n := s.est.Graph.Node(s.ID(each))
			sum = ft.Plus(sum, s.rat(n.Args[0]))
		}
	}
	return sum
}

// TestNothingRestsOnRejects: no cost is made of the figures shown for rejects.
func TestNothingRestsOnRejects(t *testing.T) {
	t.Parallel()
	s := evaluatedBatch(t, atHome(t), mixes[2]...)
	reject := map[graph.ID]bool{}
	for i := range s.est.Graph.Len() {
		n := s.est.Graph.Node(graph.ID(i))
		last := n.Key[strings.LastIndex(n.Key, "/")+1:]
		for _, a := range n.Args {
			if reject[a] && last != "reject-cost-batch" {
				t.Errorf("%s rests on %s", n.Key, s.est.Graph.Node(a).Key)
			}
		}
		if strings.HasPrefix(last, "reject-cost") {
			reject[graph.ID(i)] = true
		}
	}
	if len(reject) == 0 {
		t.Error("no rejects are shown")
	}
}
