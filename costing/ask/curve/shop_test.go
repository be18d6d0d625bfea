package curve_test

import (
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/costing/ask/curve"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/graphtest"
)

// shop is a small workshop with everything in it that steps: pieces started,
// bars with price breaks, loads of an outside process with a minimum charge,
// set-ups, a price break on the quantity, two suppliers. It is built as a graph
// and counted by hand in fractions.
type shop struct {
	from, to    int64
	yield       string
	pitch       string // of a blank, mm
	perBar      int64
	barFrom     []int64 // price breaks by bars
	barPrice    []string
	perLoad     int64
	area        [2]int64 // dm² of a piece, a fraction no decimal holds
	load, piece string
	minimum     string
	perSetup    int64
	setup       string
	edge        int64 // of the packing price
	closed      bool  // the edge itself still has the price below it
	pack        [2]string
	fixed, each [2]string // of two suppliers
	read        map[string]*big.Rat
}

// rat reads a number once.
func (s shop) rat(text string) *big.Rat {
	if s.read[text] == nil {
		s.read[text] = ft.Rat(text)
	}
	return s.read[text]
}

func pick[T any](rnd *rand.Rand, from ...T) T { return from[rnd.IntN(len(from))] }

func cents(rnd *rand.Rand, low, high int64) string {
	return decimal.New(low*100+rnd.Int64N((high-low)*100), -2).String()
}

// draw draws a shop. Quantities are kept so far apart that nothing but the pieces
// started is counted piece by piece.
func draw(seed uint64) shop {
	rnd := rand.New(rand.NewPCG(seed, 11))
	s := shop{
		from: 1 + rnd.Int64N(120), yield: pick(rnd, "1", "0.97", "0.9", "0.75", "0.8"),
		pitch: pick(rnd, "0.7", "44.4", "33.3", "12.1"), perBar: 6 + rnd.Int64N(60),
		perLoad: 4 + rnd.Int64N(40), area: [2]int64{1 + rnd.Int64N(20), pick(rnd, int64(3), 7, 9, 11, 13)},
		load: cents(rnd, 5, 40), piece: cents(rnd, 0, 3), minimum: cents(rnd, 20, 400),
		perSetup: 20 + rnd.Int64N(200), setup: cents(rnd, 10, 90),
		read: map[string]*big.Rat{},
		edge: 20 + rnd.Int64N(250), closed: rnd.IntN(2) == 0, pack: [2]string{cents(rnd, 3, 6), cents(rnd, 1, 3)},
	}
	s.to = s.from + 30 + rnd.Int64N(220)
	s.barFrom = []int64{2 + rnd.Int64N(6), 9 + rnd.Int64N(9)}
	s.barPrice = []string{cents(rnd, 70, 90), cents(rnd, 50, 70), cents(rnd, 30, 50)}
	if rnd.IntN(2) == 0 { // suppliers as dear as one another at a whole quantity
		at, saved := 20+rnd.Int64N(200), 1+rnd.Int64N(40)
		s.each = [2]string{"5", decimal.New(500-saved, -2).String()}
		s.fixed = [2]string{"10", decimal.New(1000+saved*at, -2).String()}
	} else {
		s.each, s.fixed = [2]string{cents(rnd, 4, 8), cents(rnd, 2, 4)}, [2]string{cents(rnd, 0, 20), cents(rnd, 100, 900)}
	}
	if rnd.IntN(3) == 0 { // a minimum charge met exactly at a whole quantity
		s.minimum = ft.Times(big.NewRat(20+rnd.Int64N(150), 1), ft.Rat("0.5")).FloatString(2)
		s.load, s.piece = "0", "0.5"
	}
	return s
}

// figures of the graph of a shop.
type built struct {
	g              *graph.Graph
	quantity, each graph.ID
}

var euro = graph.Currency("EUR")

func (s shop) build(t testing.TB) *built {
	t.Helper()
	b := graph.NewBuilder(graph.Limits{})
	r, o := b.Root(), &built{}
	plain := func(name, text string) graph.ID { return r.Input(name, name, graph.Plain, ft.Dec(text)) }
	whole := func(name string, n int64) graph.ID { return r.Input(name, name, graph.Plain, decimal.New(n, 0)) }
	money := func(name, text string) graph.ID { return r.Input(name, name, euro, ft.Dec(text)) }
	o.quantity = whole("quantity", 1)
	start := r.Whole("start", "pieces to start", r.Divide("start-exact", "before rounding", o.quantity, plain("yield", s.yield)))

	pitch := r.Input("pitch", "blank and kerf", graph.Mm, ft.Dec(s.pitch))
	bar := r.Input("bar", "bar", graph.Mm, decimalOf(ft.Times(ft.Rat(s.pitch), big.NewRat(s.perBar, 1))))
	perBar := r.Floor("per-bar", "blanks per bar", r.Divide("per-bar-exact", "before rounding", bar, pitch), r.One(graph.Plain))
	bars := r.Whole("bars", "bars", r.Divide("bars-exact", "before rounding", start, perBar))
	var edges []graph.ID
	for i, f := range s.barFrom {
		edges = append(edges, whole(pick2(i, "from-1", "from-2"), f))
	}
	barPrice := r.Band("bar-price", "price of a bar", graph.Axis{X: bars, Edges: edges, Bands: graph.Bands{BelowClosed: make([]bool, 2)}},
		money("bar-0", s.barPrice[0]), money("bar-1", s.barPrice[1]), money("bar-2", s.barPrice[2]))
	stock := r.Multiply("stock", "stock", bars, barPrice)

	area := r.Divide("area", "area of a piece", whole("area-over", s.area[0]), whole("area-under", s.area[1]))
	full := r.Multiply("load-area", "area of a load", whole("per-load", s.perLoad), area)
	loads := r.Whole("loads", "loads", r.Divide("loads-exact", "before rounding", r.Multiply("area-all", "area", o.quantity, area), full))
	lot := r.SumProducts("lot", "lot", loads, money("load", s.load), o.quantity, money("piece", s.piece))
	charge := r.Maximum("charge", "charge of the lot", lot, money("minimum", s.minimum))

	setUps := r.Whole("setups", "set-ups", r.Divide("setups-exact", "before rounding", o.quantity, whole("per-setup", s.perSetup)))
	setups := r.Multiply("setup-cost", "set-ups", setUps, money("setup", s.setup))

	compare := graph.GreaterOrEqual
	if s.closed {
		compare = graph.Greater
	}
	pack := r.Choose("pack", "price of a pack", o.quantity, compare, whole("edge", s.edge), money("pack-1", s.pack[1]), money("pack-0", s.pack[0]))
	packs := r.Multiply("packs", "packing", o.quantity, pack)

	var costs []graph.ID
	for i := range 2 {
		n := pick2(i, "a", "b")
		costs = append(costs, r.Add("offer-"+n, "offer "+n, money("fixed-"+n, s.fixed[i]), r.Multiply("value-"+n, "value", o.quantity, money("each-"+n, s.each[i]))))
	}
	offer := r.Least("offer", "cheaper offer", costs...)
	bought := r.At("bought", "bought", offer, costs...)

	total := r.Add("total", "batch", stock, charge, setups, packs, bought)
	o.each = r.Divide("each", "cost per piece", total, o.quantity)
	o.g = graphtest.Built(t, b)
	return o
}

func pick2(i int, a, b string) string {
	if i == 0 {
		return a
	}
	return b
}

func decimalOf(r *big.Rat) decimal.Decimal { return ft.Dec(r.FloatString(12)) }

func (o *built) request(s shop) curve.Request {
	return curve.Request{Figure: o.each, Full: o.each, Quantity: o.quantity, From: s.from, To: s.to}
}

// The states of the shop, in the order of the graph.
const (
	barsState = iota
	barPriceState
	loadsState
	chargeState // 1 where the minimum is left behind
	setupsState
	packState
	offerState
	statesOf
)

type states [statesOf]int64

// counted counts up until enough: so many units of a size.
func counted(need, size *big.Rat) (n int64) {
	have, one := new(big.Int), new(big.Int).Mul(size.Num(), need.Denom()) // both × the two denominators
	for want := new(big.Int).Mul(need.Num(), size.Denom()); have.Cmp(want) < 0; n++ {
		have.Add(have, one)
	}
	return n
}

func rat(n int64) *big.Rat { return big.NewRat(n, 1) }

// at counts the states at a quantity, without ties settled.
func (s shop) at(q int64) (st states) {
	start := counted(ft.Over(rat(q), s.rat(s.yield)), rat(1))
	st[barsState] = counted(rat(start), rat(s.perBar))
	st[barPriceState] = s.cell(st[barsState])
	st[loadsState] = counted(rat(q), rat(s.perLoad))
	if s.lot(q, st[loadsState]).Cmp(s.rat(s.minimum)) > 0 {
		st[chargeState] = 1
	}
	st[setupsState] = counted(rat(q), rat(s.perSetup))
	if q > s.edge || q == s.edge && !s.closed {
		st[packState] = 1
	}
	if s.offerCost(1, q).Cmp(s.offerCost(0, q)) < 0 {
		st[offerState] = 1
	}
	return st
}

func (s shop) cell(bars int64) (n int64) {
	for _, f := range s.barFrom {
		if bars >= f {
			n++
		}
	}
	return n
}

func (s shop) lot(q, loads int64) *big.Rat {
	return ft.Plus(ft.Times(rat(loads), s.rat(s.load)), ft.Times(rat(q), s.rat(s.piece)))
}

func (s shop) offerCost(i int, q int64) *big.Rat {
	return ft.Plus(s.rat(s.fixed[i]), ft.Times(rat(q), s.rat(s.each[i])))
}

// all counts the states over the range. A minimum charge that is met exactly
// stays if it was there before.
func (s shop) all() []states {
	var out []states
	for q := s.from; q <= s.to+2; q++ {
		out = append(out, s.at(q))
	}
	if s.lot(s.from, out[0][loadsState]).Cmp(s.rat(s.minimum)) == 0 {
		for i := range out {
			out[i][chargeState] = 1 // never below it
		}
	}
	return out
}

// ties counts the quantities at which the lot costs exactly the minimum, or the
// offers cost the same.
func (s shop) ties() (n int) {
	for q := s.from; q <= s.to; q++ {
		if s.offerCost(0, q).Cmp(s.offerCost(1, q)) == 0 || s.lot(q, counted(rat(q), rat(s.perLoad))).Cmp(s.rat(s.minimum)) == 0 {
			n++
		}
	}
	return n
}

// cost is what the batch costs in given states.
func (s shop) cost(q int64, st states) *big.Rat {
	sum := ft.Times(rat(st[barsState]), s.rat(s.barPrice[st[barPriceState]]))
	charge := s.rat(s.minimum)
	if st[chargeState] == 1 {
		charge = s.lot(q, st[loadsState])
	}
	sum = ft.Plus(sum, charge)
	sum = ft.Plus(sum, ft.Times(rat(st[setupsState]), s.rat(s.setup)))
	sum = ft.Plus(sum, ft.Times(rat(q), s.rat(s.pack[st[packState]])))
	return ft.Plus(sum, s.offerCost(int(st[offerState]), q))
}
