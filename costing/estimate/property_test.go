package estimate_test

import (
	"maps"
	"math/big"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
)

// mixes are batches in which parts are shared, needed once, needed not at all,
// and made in more than one set-up.
var mixes = [][]string{
	{"plain=1"},
	{"tune=60"},
	{"plain=100", "glow=50", "tune=20"},
	{"plain=350", "glow+mount:wall=410", "tune+face:milled=90", "tune=3"},
	{"glow=2000", "glow+face:milled=1"},
}

// TestKindsAddUp: the kinds of cost are the cost of production, of every part and
// variant, and full cost is what the rate card makes of it.
func TestKindsAddUp(t *testing.T) {
	t.Parallel()
	for _, words := range mixes {
		s := evaluatedBatch(t, atHome(t), words...)
		for _, p := range s.est.Parts {
			s.kindsAddUp(string(p.Def.Number), p.Costs)
		}
		for _, v := range s.est.Variants {
			s.kindsAddUp(v.Line.Name(), v.Costs)
			full := ft.Plus(ft.Times(s.rat(v.Production), ft.Rat("1.12")), ft.Rat("1.20"))
			ft.Same(t, "full cost of "+v.Line.Name(), s.rat(v.Full), full)
		}
	}
}

func (s sheet) kindsAddUp(what string, c estimate.Costs) {
	s.T.Helper()
	sum := func(kinds ...estimate.Kind) *big.Rat {
		total := new(big.Rat)
		for _, k := range kinds {
			total = ft.Plus(total, s.rat(c.Kinds[k]))
		}
		return total
	}
	ft.Same(s.T, what+": material", s.rat(c.Material), sum(estimate.MaterialCosts.Kinds()...))
	ft.Same(s.T, what+": making", s.rat(c.Making), sum(estimate.MakingCosts.Kinds()...))
	ft.Same(s.T, what+": special direct", s.rat(c.Special), sum(estimate.SpecialCosts.Kinds()...))
	ft.Same(s.T, what+": production", s.rat(c.Production), sum(estimate.Kinds()...))
}

// spent are the costs that somebody is paid in this batch, by the key of their
// figure: for each owner (part or variant) its purchases, its operations and its
// overheads, and nothing of its children. The figures are found by the names of
// their keys, not by the way they are added up.
func (s sheet) spent() map[string]*big.Rat {
	out := map[string]*big.Rat{}
	for i := range s.est.Graph.Len() {
		n := s.est.Graph.Node(graph.ID(i))
		el := strings.Split(n.Key, "/")
		if el[0] != "part" && el[0] != "variant" {
			continue
		}
		if factor := s.share(n.Key, el); factor != nil {
			out[n.Key] = ft.Times(factor, s.rat(graph.ID(i)))
		}
	}
	return out
}

// share is how often a figure is spent in the batch: once, for a special direct
// cost once per piece, and nil for what is not spent.
func (s sheet) share(key string, el []string) *big.Rat {
	owner, last := strings.Join(el[:2], "/"), el[len(el)-1]
	switch {
	case len(el) > 2 && el[2] == "op":
		return s.shareOfOperation(key, last)
	case len(el) == 3 && slices.Contains([]string{"material-overhead", "bought-overhead", "reclaim-credit"}, last):
		return ft.Rat("1")
	case key == s.purchase(owner):
		return ft.Rat("1")
	case len(el) > 3 && el[2] == "special" && last == "share":
		return s.pieces(owner)
	}
	return nil
}

func (s sheet) shareOfOperation(key, last string) *big.Rat {
	if last == "lot-converted" {
		return ft.Rat("1")
	}
	if last == "lot" && s.Has(key+"-converted") || !slices.ContainsFunc(estimate.OperationColumns(),
		func(c estimate.OperationColumn) bool { return slices.Contains(c.Batch, last) }) {
		return nil
	}
	return ft.Rat("1")
}

// purchase is the key under which a part is charged with what it buys.
func (s sheet) purchase(owner string) string {
	for _, name := range []string{"charged", "bought-cost"} {
		if s.Has(owner + "/" + name) {
			return owner + "/" + name
		}
	}
	for i := range s.est.Graph.Len() {
		key := s.est.Graph.Node(graph.ID(i)).Key
		if strings.HasPrefix(key, owner+"/order/") && strings.HasSuffix(key, "/order-cost") {
			if s.Has(key + "-converted") {
				return key + "-converted"
			}
			return key
		}
	}
	return ""
}

// pieces are the pieces a special direct cost is carried by: those of the mix, or
// those needed of a part, unrounded.
func (s sheet) pieces(owner string) *big.Rat {
	kind, name, _ := strings.Cut(owner, "/")
	if kind == "variant" {
		return s.key("mix/" + name)
	}
	return s.rat(s.est.Graph.Node(s.ID(owner + "/need")).Args[0])
}

// total is what the variants of the batch cost in all; one of which none is made
// has no cost by piece.
func (s sheet) total() *big.Rat {
	sum := new(big.Rat)
	for _, v := range s.est.Variants {
		if q := s.rat(v.Quantity); q.Sign() > 0 {
			sum = ft.Plus(sum, ft.Times(s.rat(v.Production), q))
		}
	}
	return sum
}

// TestNothingLostOrCountedTwice: what the variants cost together is what the
// batch spends, to the last place.
func TestNothingLostOrCountedTwice(t *testing.T) {
	t.Parallel()
	for _, words := range mixes {
		s := evaluatedBatch(t, atHome(t), words...)
		sum := new(big.Rat)
		spent := s.spent()
		for _, amount := range spent {
			sum = ft.Plus(sum, amount)
		}
		ft.Same(t, strings.Join(words, ", ")+": the variants together", s.total(), sum)
		for _, p := range s.est.Parts {
			if p.Def.Kind != bom.Assembly && spent[s.purchase("part/"+string(p.Def.Number))] == nil {
				t.Errorf("no purchase is found for %s", p.Def.Number)
			}
		}
	}
}

// TestOneEuroMore: one euro more at any place of the batch is one euro more in
// the variants together, with the overheads that fall on it and nothing else.
func TestOneEuroMore(t *testing.T) {
	t.Parallel()
	est := build(t, atHome(t), mixOf("plain=350", "glow+mount:wall=41", "tune+face:milled=90", "tune=3"))
	base := evaluate(t, est, nil)
	for key := range base.spent() {
		el := strings.Split(key, "/")
		share := base.share(key, el)
		d, _ := base.v.Raw(base.ID(key))
		more := evaluate(t, est, map[string]decimal.Decimal{key: d.Add(decimal.New(1, 0)).Round(20)})
		rise := ft.Times(share, ft.Minus(more.key(key), base.key(key)))
		ft.Same(t, "one more of "+key, ft.Minus(more.total(), base.total()), ft.Times(rise, loaded(base, el)))
	}
}

// loaded is what overheads of the demo book make of one euro: 6 % on stock, 3 %
// on bought parts, 2 % on outside processes, 38 % on labour.
func loaded(s sheet, el []string) *big.Rat {
	switch last := el[len(el)-1]; {
	case last == "labour-cost":
		return ft.Rat("1.38")
	case strings.HasPrefix(last, "lot"):
		return ft.Rat("1.02")
	case last == "charged", strings.HasPrefix(last, "order-cost"), last == "bought-cost":
		if s.Has("part/" + el[1] + "/bought-overhead") {
			return ft.Rat("1.03")
		}
		return ft.Rat("1.06")
	}
	return ft.Rat("1")
}

// TestMixOfOne: trims of which none is made take no part in the costs of the one
// that is.
func TestMixOfOne(t *testing.T) {
	t.Parallel()
	b := atHome(t)
	mix := build(t, b, mixOf("plain=10", "glow=10", "tune=10"))
	for i, trim := range []string{"plain", "glow", "tune"} {
		pins := map[string]decimal.Decimal{"mix/plain": decimal.Zero, "mix/glow": decimal.Zero, "mix/tune": decimal.Zero}
		pins["mix/"+trim] = decimal.New(173, 0)
		among, lone := evaluate(t, mix, pins), evaluatedBatch(t, b, trim+"=173")
		ft.Same(t, trim+": full cost", among.rat(among.est.Variants[i].Full), lone.rat(lone.est.Variants[0].Full))
		for _, k := range estimate.Kinds() {
			ft.Same(t, trim+": "+k.Label(), among.rat(among.est.Variants[i].Kinds[k]), lone.rat(lone.est.Variants[0].Kinds[k]))
		}
	}
}

// TestSharedSetupsOnce: what three trims share is set up once in a mix of three,
// and three times in three batches.
func TestSharedSetupsOnce(t *testing.T) {
	t.Parallel()
	b := atHome(t)
	together := evaluatedBatch(t, b, "plain=60", "glow=60", "tune=60")
	alone := map[string]int{}
	for _, trim := range []string{"plain", "glow", "tune"} {
		s := evaluatedBatch(t, b, trim+"=60")
		for key := range s.setups() {
			alone[key]++
		}
	}
	shared := 0
	for key, minutes := range together.setups() {
		entered := strings.TrimSuffix(key, "total") + "time"
		if _, own, of := strings.Cut(strings.TrimPrefix(entered, "variant/"), "/"); of && strings.HasPrefix(key, "variant/") {
			entered = "product/LAMP/" + own
		}
		if minutes.Cmp(together.key(entered)) != 0 {
			t.Errorf("%s takes %s minutes", key, minutes.FloatString(2))
		}
		if alone[key] == 3 {
			shared++
		}
	}
	if !slices.Equal(slices.Sorted(maps.Keys(alone)), slices.Sorted(maps.Keys(together.setups()))) {
		t.Error("the mix sets up other operations than its trims alone")
	}
	if alone["part/HS-010/op/20/setup-total"] != 3 || shared < 5 {
		t.Errorf("%d operations are shared by all three", shared)
	}
}

// setups are the set-up times of all operations of parts and variants.
func (s sheet) setups() map[string]*big.Rat {
	out := map[string]*big.Rat{}
	for i := range s.est.Graph.Len() {
		if key := s.est.Graph.Node(graph.ID(i)).Key; strings.HasSuffix(key, "/setup-total") {
			out[key] = s.rat(graph.ID(i))
		}
	}
	return out
}

// TestWorkCentreLoad: the time a work centre is occupied by the mix is the sum
// over the operations done there.
func TestWorkCentreLoad(t *testing.T) {
	t.Parallel()
	b := atHome(t)
	s := evaluatedBatch(t, b, "plain=100", "glow=50", "tune=20")
	cost := map[string]*big.Rat{}
	for key, amount := range s.spent() {
		if strings.HasSuffix(key, "/machine-cost") {
			centre := s.centreOf(b, key)
			if cost[centre] == nil {
				cost[centre] = new(big.Rat)
			}
			cost[centre] = ft.Plus(cost[centre], amount)
		}
	}
	for centre, money := range cost {
		hours := ft.Over(s.key("work-centre/"+centre+"/occupied"), ft.Rat("60"))
		ft.Same(t, "cost of "+centre, money, ft.Times(hours, s.key("work-centre/"+centre+"/machine-rate")))
	}
	if len(cost) != len(b.WorkCentres) {
		t.Errorf("%d work centres are used", len(cost))
	}
}

// centreOf finds in the book where the operation of a key is done.
func (s sheet) centreOf(b *book.Book, key string) string {
	el := strings.Split(key, "/")
	routing := b.Products[0].Routing
	for _, p := range b.Parts {
		if el[0] == "part" && string(p.Number) == el[1] {
			routing = p.Routing
		}
	}
	for _, op := range routing {
		if decimal.New(int64(op.Number), 0).String() == el[3] {
			return string(op.WorkCentre)
		}
	}
	s.T.Fatalf("no operation for %s", key)
	return ""
}

// withoutCredits is the demo book without credits for leftover and chips, which
// may fall off by more than the piece that uses them up costs.
func withoutCredits(t *testing.T) *book.Book {
	b := atHome(t)
	for i := range b.Offers {
		b.Offers[i].LeftoverValue = nil
	}
	for i := range b.Materials {
		b.Materials[i].ReclaimPerKg = nil
	}
	for i := range b.Parts {
		if blank := b.Parts[i].Blank; blank != nil {
			blank.LeftoverValue = nil
		}
	}
	return b
}

// TestMoreNeverCostsLess: without credits a larger batch never costs less in all,
// because every order, set-up and lot of the larger one would do for the smaller.
// With credits this holds for the cash spent on each order.
func TestMoreNeverCostsLess(t *testing.T) {
	t.Parallel()
	bare := build(t, withoutCredits(t), mixOf("plain=1", "tune=1"))
	full := build(t, atHome(t), mixOf("plain=1", "tune=1"))
	var last *big.Rat
	cash := map[string]*big.Rat{}
	for _, quantity := range []int64{1, 2, 3, 5, 9, 17, 33, 34, 45, 46, 47, 48, 49, 50, 51, 77, 99, 100, 101, 180, 249, 250, 251, 333, 498, 499, 500, 501, 998, 1000} {
		pins := map[string]decimal.Decimal{"mix/plain": decimal.New(quantity, 0), "mix/tune": decimal.New(quantity/2, 0)}
		total := evaluate(t, bare, pins).total()
		if last != nil && total.Cmp(last) < 0 {
			t.Errorf("%d cost %s, fewer cost %s", quantity, total.FloatString(2), last.FloatString(2))
		}
		last = total
		s := evaluate(t, full, pins)
		for _, p := range s.est.Parts {
			order := s.cash("part/" + string(p.Def.Number))
			if before := cash[string(p.Def.Number)]; before != nil && order.Cmp(before) < 0 {
				t.Errorf("%s for %d: %s spent, for fewer %s", p.Def.Number, quantity, order.FloatString(2), before.FloatString(2))
			}
			cash[string(p.Def.Number)] = order
		}
	}
}

// cash is what the orders of a part cost before any credit.
func (s sheet) cash(owner string) *big.Rat {
	if s.Has(owner + "/bought-cost") {
		return s.key(owner + "/bought-cost")
	}
	sum := new(big.Rat)
	for i := range s.est.Graph.Len() {
		if key := s.est.Graph.Node(graph.ID(i)).Key; strings.HasPrefix(key, owner+"/order/") && strings.HasSuffix(key, "/order-cost") {
			sum = ft.Plus(sum, s.rat(graph.ID(i)))
		}
	}
	return sum
}

// TestLargeBatchesAreCheaperByPiece: what a batch pays once is spread over more
// pieces; a tenfold batch is far beyond every break.
func TestLargeBatchesAreCheaperByPiece(t *testing.T) {
	t.Parallel()
	for _, trim := range []string{"plain", "glow", "tune"} {
		var last *big.Rat
		for _, quantity := range []string{"1", "10", "100", "1000"} {
			s := evaluatedBatch(t, atHome(t), trim+"="+quantity)
			each := s.rat(s.est.Variants[0].Production)
			if last != nil && each.Cmp(last) >= 0 {
				t.Errorf("%s of %s costs %s, of a tenth %s", trim, quantity, each.FloatString(2), last.FloatString(2))
			}
			last = each
		}
	}
}
