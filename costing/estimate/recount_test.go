package estimate_test

import (
	"fmt"
	"math"
	"math/big"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/bom/variant"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/money"
	"kerfbook/costing/rates"
)

// recount prices a mix a second time, straight from the book in fractions and
// without a graph: needs are asked for upwards (who uses this part?), costs
// downwards. Hour rates stand in time_recount_test.go, surfaces in
// area_recount_test.go; what an operation takes, and what an order and a lot cost,
// in ft.
type recount struct {
	t     *testing.T
	b     *book.Book
	mix   []estimate.MixLine
	needs map[bom.ID]*big.Rat
	costs map[bom.ID]*big.Rat // of one piece

	// features gives what the features of an operation take, by its key and the name
	// of the figure; cutting_recount_test.go counts those again.
	features func(op, figure string) *big.Rat
}

func newRecount(t *testing.T, b *book.Book, s sheet, words ...string) *recount {
	return &recount{t, b, mixOf(words...), map[bom.ID]*big.Rat{}, map[bom.ID]*big.Rat{},
		func(op, figure string) *big.Rat { return s.key(op + "/" + figure) }}
}

// TestRecount compares the cost of every variant and part with the second
// reckoning: parts to 25 digits, variants to 13, because assembly is learnt.
func TestRecount(t *testing.T) {
	t.Parallel()
	more := [][]string{{"plain=100"}, {"glow=250"}, {"tune=1000"}, {"plain+mount:wall=30", "tune+face:milled=75"},
		{"tune=101"}} // 104.08 shades are anodised, just more than two loads of 52
	for _, words := range slices.Concat(mixes, more) {
		b := atHome(t)
		s := evaluatedBatch(t, b, words...)
		r := newRecount(t, b, s, words...)
		for i, v := range s.est.Variants {
			almost(t, v.Line.Name()+": cost of production", s.rat(v.Production), r.variant(r.mix[i]))
		}
		for _, p := range s.est.Parts {
			ft.Same(t, string(p.Def.Number)+": cost of production", s.rat(p.Production), r.part(p.Def.Number))
			ft.Same(t, string(p.Def.Number)+": need", s.rat(p.Need), up(r.need(p.Def.Number)))
		}
	}
}

// up is the next whole number.
func up(r *big.Rat) *big.Rat {
	q, m := new(big.Int).DivMod(r.Num(), r.Denom(), new(big.Int))
	if m.Sign() > 0 {
		q.Add(q, big.NewInt(1))
	}
	return new(big.Rat).SetInt(q)
}

func down(r *big.Rat) *big.Rat {
	return new(big.Rat).SetInt(new(big.Int).Div(r.Num(), r.Denom()))
}

func find[T any](t *testing.T, list []T, is func(*T) bool) *T {
	t.Helper()
	for i := range list {
		if is(&list[i]) {
			return &list[i]
		}
	}
	t.Fatal("the book lacks a record")
	return nil
}

func (r *recount) def(id bom.ID) *bom.Part {
	return find(r.t, r.b.Parts, func(p *bom.Part) bool { return p.Number == id })
}

func (r *recount) positions(l estimate.MixLine) []bom.Position {
	product := &r.b.Products[0]
	trim := find(r.t, product.Trims, func(x *bom.Trim) bool { return x.ID == l.Trim })
	choices := map[bom.ID]bom.ID{}
	for _, from := range []map[bom.ID]bom.ID{trim.Choices, l.Choices} {
		for option, choice := range from {
			choices[option] = choice
		}
	}
	list, err := variant.Resolve(product, choices)
	if err != nil {
		r.t.Fatal(err)
	}
	return list
}

// need is what all users of a part take of it, unrounded.
func (r *recount) need(id bom.ID) *big.Rat {
	if known, ok := r.needs[id]; ok {
		return known
	}
	sum := new(big.Rat)
	for _, l := range r.mix {
		for _, p := range r.positions(l) {
			if p.Part == id {
				in := entering(r.b.Products[0].Routing, l.Quantity.Likely.Rat())
				sum = ft.Plus(sum, taken(in, p.Operation, p.Quantity, p.FittingScrap))
			}
		}
	}
	for _, parent := range r.b.Parts {
		for _, c := range parent.Children {
			if c.Part == id {
				in := entering(parent.Routing, up(r.need(parent.Number)))
				sum = ft.Plus(sum, taken(in, c.Operation, c.Quantity, c.FittingScrap))
			}
		}
	}
	r.needs[id] = sum
	return sum
}

// flow is the units that enter each operation, by number; 0 is the first.
type flow map[int]*big.Rat

// entering follows a batch back through a routing.
func entering(ops []bom.Operation, good *big.Rat) flow {
	in := flow{0: good}
	for _, op := range slices.Backward(ops) {
		in[0] = ft.Begun(op, in[0]).UnitsIn
		in[op.Number] = in[0]
	}
	return in
}

func taken(in flow, operation int, quantity bom.Number, scrap *bom.Number) *big.Rat {
	return ft.Over(ft.Times(in[operation], quantity.Likely.Rat()), ft.Minus(ft.Rat("1"), ft.Typed(scrap)))
}

// variant is the cost of production of one piece.
func (r *recount) variant(l estimate.MixLine) *big.Rat {
	product, good := r.b.Products[0], l.Quantity.Likely.Rat()
	in := entering(product.Routing, good)
	sum := r.operations("variant/"+l.Name(), nil, product.Routing, good)
	for _, p := range r.positions(l) {
		sum = ft.Plus(sum, ft.Times(taken(in, p.Operation, p.Quantity, p.FittingScrap), r.part(p.Part)))
	}
	return ft.Plus(ft.Over(sum, good), recovered(product.Special))
}

func recovered(list []bom.SpecialCost) *big.Rat {
	sum := new(big.Rat)
	for _, sp := range list {
		sum = ft.Plus(sum, ft.Over(sp.Amount.Likely.Rat(), sp.RecoverUnits.Likely.Rat()))
	}
	return sum
}

// part is the cost of one needed piece of a part.
func (r *recount) part(id bom.ID) *big.Rat {
	if known, ok := r.costs[id]; ok {
		return known
	}
	p, need := r.def(id), r.need(id)
	good := up(need)
	in := entering(p.Routing, good)
	sum := r.operations("part/"+string(id), p, p.Routing, good)
	switch p.Kind {
	case bom.Bought:
		sum = ft.Plus(sum, r.bought(p, good))
	case bom.Made:
		sum = ft.Plus(sum, r.cut(p, up(in[0]), good))
	}
	for _, c := range p.Children {
		sum = ft.Plus(sum, ft.Times(taken(in, c.Operation, c.Quantity, c.FittingScrap), r.part(c.Part)))
	}
	r.costs[id] = ft.Plus(ft.Over(sum, need), recovered(p.Special))
	return r.costs[id]
}

// operations is what the operations of a batch cost, overheads of the demo's
// rate card included: 38 % on labour, 2 % on outside processes.
func (r *recount) operations(owner string, p *bom.Part, ops []bom.Operation, good *big.Rat) *big.Rat {
	sum := new(big.Rat)
	for i, op := range slices.Backward(ops) {
		st := ft.Begun(op, good)
		good = st.UnitsIn
		if op.Kind == bom.Outside {
			sum = ft.Plus(sum, ft.Times(r.lot(p, ops[:i], *op.Treatment, st.UnitsIn), ft.Rat("1.02")))
			continue
		}
		c := find(r.t, r.b.WorkCentres, func(w *rates.WorkCentre) bool { return w.ID == op.WorkCentre })
		if len(op.Features) > 0 {
			op = r.withCuts(owner, op)
		}
		if op.MinPerDM2 != nil && op.AreaDM2 == nil {
			op.AreaDM2 = asTyped(r.surface(p, ops[:i]))
		}
		st.Times(op, ft.Plus(ft.Rat("1"), ft.Typed(c.Allowance)))
		machine := ft.Times(ft.Over(st.Occupied, ft.Rat("60")), ratePerHour(r.b, c))
		labour := ft.Times(ft.Over(st.Attended, ft.Rat("60")), ft.Typed(c.LabourRatePerH))
		sum = ft.Plus(sum, machine, ft.Times(labour, ft.Rat("1.38")), ft.Times(st.UnitsIn, ft.Typed(op.ToolsPerPiece)))
	}
	return sum
}

// asTyped is a figure as if a person had typed it, with digits to spare.
func asTyped(r *big.Rat) *bom.Number {
	n := bom.Exactly(decimal.NewFromBigRat(r, 60))
	return &n
}

// withCuts enters what the features of an operation take.
func (r *recount) withCuts(owner string, op bom.Operation) bom.Operation {
	key := fmt.Sprintf("%s/op/%d", owner, op.Number)
	figure := func(name string) *bom.Number { return asTyped(r.features(key, name)) }
	op.CuttingMin, op.PositioningMin, op.WornEdgeMin = figure("cutting"), figure("positioning"), figure("worn-edge")
	op.ToolChangeMin, op.ToolsPerPiece = figure("tool-changes"), figure("tools-per-piece")
	return op
}

// lot is what a supplier asks for treating units of a part after its first
// operations.
func (r *recount) lot(part *bom.Part, done []bom.Operation, w bom.Treatment, units *big.Rat) *big.Rat {
	p := find(r.t, r.b.Processes, func(p *rates.Process) bool { return p.ID == w.Process })
	if w.AreaDM2 == nil {
		w.AreaDM2 = asTyped(r.surface(part, done))
	}
	return ft.Charge(*p, w, ft.Sent{In: units, Day: demoDay})
}

// bought is what a bought part costs: cash less credit, and 3 % on it.
func (r *recount) bought(p *bom.Part, need *big.Rat) *big.Rat {
	quantity, cash, o := r.order(p.Number, need, ft.Rat("1"), ft.Rat("1"))
	credit := ft.Times(ft.Over(ft.Minus(quantity, need), quantity), cash, ft.Typed(o.LeftoverValue))
	return ft.Times(ft.Minus(cash, credit), ft.Rat("1.03"))
}

// order is the cheapest order of all offers, in units of use, in euros.
func (r *recount) order(target bom.ID, need, kg, m *big.Rat) (quantity, cash *big.Rat, by rates.Offer) {
	for _, o := range r.b.Offers {
		if o.For != target {
			continue
		}
		perUse := map[rates.PurchaseUnit]*big.Rat{rates.PerKilogram: kg, rates.PerMetre: m, rates.PerHundred: ft.Rat("0.01")}[o.Unit]
		if perUse == nil {
			perUse = ft.Rat("1")
		}
		euros := map[money.Code]*big.Rat{"EUR": ft.Rat("1"), "USD": ft.Rat("0.86"), "CNY": ft.Rat("0.121")}[o.Currency]
		if o.Multiple == nil && (o.Unit == rates.PerKilogram || o.Unit == rates.PerMetre) {
			o.Multiple = asTyped(perUse) // whole bars, plates and sheets
		}
		q, c := ft.BestOrder(o, ft.Times(need, perUse), perUse)
		if c = ft.Times(c, euros); cash == nil || c.Cmp(cash) < 0 {
			quantity, cash, by = ft.Over(q, perUse), c, o
		}
	}
	return quantity, cash, by
}

// cut is what stock a made part is charged with, 6 % on it, and less what its
// chips bring.
func (r *recount) cut(p *bom.Part, start, good *big.Rat) *big.Rat {
	st := find(r.t, r.b.Stocks, func(s *bom.Stock) bool { return s.ID == p.Blank.Stock })
	m := find(r.t, r.b.Materials, func(m *rates.Material) bool { return m.ID == st.Material })
	mass := ft.Over(ft.Times(volume(st), m.DensityGCM3.Likely.Rat()), ft.Rat("1000000"))
	per := perStock(st, p.Blank)
	bars, cash, _ := r.order(st.ID, up(ft.Over(start, per)), mass, ft.Over(st.LengthMM.Likely.Rat(), ft.Rat("1000")))
	left := ft.Minus(ft.Times(down(bars), per), start)
	charged := ft.Minus(cash, ft.Times(left, ft.Typed(p.Blank.LeftoverValue), ft.Over(cash, ft.Times(bars, per))))
	chips := ft.Minus(ft.Times(ft.Minus(bars, ft.Over(left, per)), mass), ft.Times(good, ft.Over(ft.Typed(p.MassG), ft.Rat("1000"))))
	reclaim := ft.Times(chips, ft.Or(m.RecoveredShare, "1"), ft.Typed(m.ReclaimPerKg))
	return ft.Minus(ft.Times(charged, ft.Rat("1.06")), reclaim)
}

// volume is that of one piece of stock, in mm³.
func volume(s *bom.Stock) *big.Rat {
	quarterPi := ft.Rat("0.78539816339744830961566084581987575")
	length := s.LengthMM.Likely.Rat()
	if s.DiameterMM == nil {
		return ft.Times(length, ft.Typed(s.WidthMM), ft.Typed(s.ThicknessMM))
	}
	outer, inner := ft.Typed(s.DiameterMM), ft.Typed(s.InnerDiameterMM)
	return ft.Times(length, quarterPi, ft.Minus(ft.Times(outer, outer), ft.Times(inner, inner)))
}

// perStock cuts one bar, or lays blanks on one sheet, in tenths of a millimetre.
func perStock(s *bom.Stock, b *bom.Blank) *big.Rat {
	tenths := func(n *bom.Number) int64 {
		f, _ := ft.Times(ft.Typed(n), ft.Rat("10")).Float64()
		return int64(math.Round(f))
	}
	gap, edges := tenths(b.KerfMM), 2*tenths(b.MarginMM)
	fit := func(side, blank int64) int64 { return (side + gap) / (blank + gap) }
	length, width := tenths(&s.LengthMM)-edges, tenths(s.WidthMM)-edges
	switch {
	case s.Form.Linear() && b.BarEndMM != nil:
		return new(big.Rat).SetInt64((length - tenths(b.EndCutMM) - tenths(b.BarEndMM)) / (tenths(b.LengthMM) + gap))
	case s.Form.Linear():
		return new(big.Rat).SetInt64(fit(length-tenths(b.EndCutMM), tenths(b.LengthMM)))
	case b.DiameterMM != nil:
		d := tenths(b.DiameterMM)
		return new(big.Rat).SetInt64(max(fit(length, d)*fit(width, d), rows(length, width, d, gap), rows(width, length, d, gap)))
	}
	if b.Grain {
		return new(big.Rat).SetInt64(fit(length, tenths(b.LengthMM)) * fit(width, tenths(b.WidthMM)))
	}
	return new(big.Rat).SetInt64(cutUp(length+gap, width+gap, tenths(b.LengthMM)+gap, tenths(b.WidthMM)+gap, map[[2]int64]int64{}))
}

// cutUp cuts a sheet from edge to edge into a strip that begins with a blank and
// the rest, wherever sums of sides end, and each piece again; sides contain a gap.
func cutUp(u, v, a, b int64, known map[[2]int64]int64) (most int64) {
	if u < min(a, b) || v < min(a, b) {
		return 0
	}
	if n, ok := known[[2]int64{u, v}]; ok {
		return n
	}
	if u >= a && v >= b || u >= b && v >= a {
		most = 1
	}
	try := func(side int64, piece func(at int64) int64) {
		for x := int64(0); x < side; x += a {
			for y := x; y < side; y += b {
				if y > 0 {
					most = max(most, piece(y)+piece(side-y))
				}
			}
		}
	}
	try(u, func(at int64) int64 { return cutUp(at, v, a, b, known) })
	try(v, func(at int64) int64 { return cutUp(u, at, a, b, known) })
	known[[2]int64{u, v}] = most
	return most
}

// rows lays discs in hexagonal rows.
func rows(u, v, d, gap int64) (discs int64) {
	for r := 0; float64(d)+float64(r)*float64(d+gap)*math.Sqrt(3)/2 <= float64(v); r++ {
		for x := int64(r%2) * (d + gap); x+2*d <= 2*u; x += 2 * (d + gap) { // in halves, for the shift
			discs++
		}
	}
	return discs
}

func typedOr(n *bom.Number, absent *big.Rat) *big.Rat {
	if n == nil {
		return absent
	}
	return n.Likely.Rat()
}
