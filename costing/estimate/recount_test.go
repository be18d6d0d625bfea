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
	"kerfbook/costing/money"
	"kerfbook/costing/rates"
)

// recount prices a mix a second time, straight from the book in fractions and
// without a graph: needs are asked for upwards (who uses this part?), costs
// downwards. Hour rates, learning and inspections stand in time_recount_test.go,
// surfaces and loads in area_recount_test.go.
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
			same(t, string(p.Def.Number)+": cost of production", s.rat(p.Production), r.part(p.Def.Number))
			same(t, string(p.Def.Number)+": need", s.rat(p.Need), up(r.need(p.Def.Number)))
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

// or is a figure, or what stands for none.
func or(n *bom.Number, absent string) *big.Rat {
	if n == nil {
		return rat(absent)
	}
	return n.Likely.Rat()
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
				sum = plus(sum, taken(in, p.Operation, p.Quantity, p.FittingScrap))
			}
		}
	}
	for _, parent := range r.b.Parts {
		for _, c := range parent.Children {
			if c.Part == id {
				in := entering(parent.Routing, up(r.need(parent.Number)))
				sum = plus(sum, taken(in, c.Operation, c.Quantity, c.FittingScrap))
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
		started := divide(in[0], or(op.Yield, "1"))
		in[0] = plus(started, multiply(setups(op, started), or(op.SetupPieces, "0")))
		in[op.Number] = in[0]
	}
	return in
}

func setups(op bom.Operation, started *big.Rat) *big.Rat {
	if op.PiecesPerSetup != nil {
		return up(divide(started, op.PiecesPerSetup.Likely.Rat()))
	}
	if started.Sign() == 0 {
		return rat("0")
	}
	return rat("1")
}

func taken(in flow, operation int, quantity bom.Number, scrap *bom.Number) *big.Rat {
	return divide(multiply(in[operation], quantity.Likely.Rat()), less(rat("1"), or(scrap, "0")))
}

// variant is the cost of production of one piece.
func (r *recount) variant(l estimate.MixLine) *big.Rat {
	product, good := r.b.Products[0], l.Quantity.Likely.Rat()
	in := entering(product.Routing, good)
	sum := r.operations("variant/"+l.Name(), nil, product.Routing, in, good)
	for _, p := range r.positions(l) {
		sum = plus(sum, multiply(taken(in, p.Operation, p.Quantity, p.FittingScrap), r.part(p.Part)))
	}
	return plus(divide(sum, good), recovered(product.Special))
}

func recovered(list []bom.SpecialCost) *big.Rat {
	sum := new(big.Rat)
	for _, sp := range list {
		sum = plus(sum, divide(sp.Amount.Likely.Rat(), sp.RecoverUnits.Likely.Rat()))
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
	sum := r.operations("part/"+string(id), p, p.Routing, in, good)
	switch p.Kind {
	case bom.Bought:
		sum = plus(sum, r.bought(p, good))
	case bom.Made:
		sum = plus(sum, r.cut(p, up(in[0]), good))
	}
	for _, c := range p.Children {
		sum = plus(sum, multiply(taken(in, c.Operation, c.Quantity, c.FittingScrap), r.part(c.Part)))
	}
	r.costs[id] = plus(divide(sum, need), recovered(p.Special))
	return r.costs[id]
}

// operations is what the operations of a batch cost, overheads of the demo's
// rate card included: 38 % on labour, 2 % on outside processes.
func (r *recount) operations(owner string, p *bom.Part, ops []bom.Operation, in flow, good *big.Rat) *big.Rat {
	sum := new(big.Rat)
	wanted := good
	for i, op := range slices.Backward(ops) {
		units, started := in[op.Number], divide(wanted, or(op.Yield, "1"))
		wanted = units
		if op.Kind == bom.Outside {
			sum = plus(sum, multiply(r.lot(p, ops[:i], op.Treatment, units), rat("1.02")))
			continue
		}
		c := find(r.t, r.b.WorkCentres, func(w *rates.WorkCentre) bool { return w.ID == op.WorkCentre })
		setup := multiply(setups(op, started), or(op.SetupMin, "0"))
		if len(op.Features) > 0 {
			op = r.withCuts(owner, op)
		}
		run := r.runTime(p, ops[:i], op, units)
		attended := multiply(plus(setup, multiply(run, or(op.AttendedShare, "1"))), plus(rat("1"), or(c.Allowance, "0")))
		machine := multiply(divide(plus(setup, run), rat("60")), ratePerHour(r.b, c))
		labour := multiply(divide(attended, rat("60")), or(c.LabourRatePerH, "0"))
		sum = plus(plus(sum, machine), plus(multiply(labour, rat("1.38")), multiply(units, or(op.ToolsPerPiece, "0"))))
	}
	return sum
}

// withCuts enters what the features of an operation take.
func (r *recount) withCuts(owner string, op bom.Operation) bom.Operation {
	key := fmt.Sprintf("%s/op/%d", owner, op.Number)
	figure := func(name string) *bom.Number {
		n := bom.Exactly(decimal.NewFromBigRat(r.features(key, name), 34))
		return &n
	}
	op.CuttingMin, op.PositioningMin, op.WornEdgeMin = figure("cutting"), figure("positioning"), figure("worn-edge")
	op.ToolChangeMin, op.ToolsPerPiece = figure("tool-changes"), figure("tools-per-piece")
	return op
}

// runTime is what units and loads take at an operation that comes after others.
func (r *recount) runTime(p *bom.Part, done []bom.Operation, op bom.Operation, units *big.Rat) *big.Rat {
	piece, load := measuring(op.Characteristics), new(big.Rat)
	for _, n := range []*bom.Number{op.PieceMin, op.CuttingMin, op.PositioningMin, op.WornEdgeMin, op.HandlingMin} {
		piece = plus(piece, or(n, "0"))
	}
	if op.MinPerDM2 != nil {
		area := typedOr(op.AreaDM2, nil)
		if area == nil {
			area = r.surface(p, done)
		}
		piece = plus(piece, multiply(or(op.MinPerDM2, "0"), area))
	}
	for _, n := range []*bom.Number{op.LoadMin, op.ToolChangeMin, op.LoadHandlingMin, op.ProbingMin} {
		load = plus(load, or(n, "0"))
	}
	loads := multiply(up(divide(units, or(op.PiecesPerLoad, "1"))), load)
	piece = multiply(piece, or(op.SampledShare, "1"))
	if op.Learning != nil {
		return plus(learnt(r.t, op.Learning, piece, units), loads)
	}
	return plus(multiply(units, piece), loads)
}

// lot is what a supplier asks for treating units of a part after its first
// operations.
func (r *recount) lot(part *bom.Part, done []bom.Operation, w *bom.Treatment, units *big.Rat) *big.Rat {
	p := find(r.t, r.b.Processes, func(p *rates.Process) bool { return p.ID == w.Process })
	area := typedOr(w.AreaDM2, nil)
	if area == nil {
		area = r.surface(part, done)
	}
	area = less(area, or(w.MaskedDM2, "0"))
	perArea := plus(or(p.AreaPrice, "0"), multiply(or(w.ThicknessUM, "0"), or(p.AreaMicronPrice, "0")))
	each := plus(plus(or(p.PiecePrice, "0"), multiply(area, perArea)), multiply(or(w.Masks, "0"), or(p.MaskPrice, "0")))
	charge := plus(plus(or(p.Fixed, "0"), multiply(loads(p, w, area, units), or(p.LoadCharge, "0"))), multiply(units, each))
	if least := or(p.Minimum, "0"); charge.Cmp(least) < 0 {
		charge = least
	}
	return plus(charge, plus(or(p.TransportThere, "0"), or(p.TransportBack, "0")))
}

// bought is what a bought part costs: cash less credit, and 3 % on it.
func (r *recount) bought(p *bom.Part, need *big.Rat) *big.Rat {
	quantity, cash, o := r.order(p.Number, need, rat("1"), rat("1"))
	credit := multiply(multiply(divide(less(quantity, need), quantity), cash), or(o.LeftoverValue, "0"))
	return multiply(less(cash, credit), rat("1.03"))
}

// order is the cheapest order of all offers, in units of use, in euros.
func (r *recount) order(target bom.ID, need, kg, m *big.Rat) (quantity, cash *big.Rat, by rates.Offer) {
	for _, o := range r.b.Offers {
		if o.For != target {
			continue
		}
		perUse := map[rates.PurchaseUnit]*big.Rat{rates.PerKilogram: kg, rates.PerMetre: m, rates.PerHundred: rat("0.01")}[o.Unit]
		if perUse == nil {
			perUse = rat("1")
		}
		euros := map[money.Code]*big.Rat{"EUR": rat("1"), "USD": rat("0.86"), "CNY": rat("0.121")}[o.Currency]
		for _, least := range append([]rates.PriceBreak{{}}, o.Breaks...) {
			q := largest(multiply(need, perUse), or(o.MOQ, "0"), least.From.Likely.Rat())
			pack := typedOr(o.Multiple, nil)
			if pack == nil && (o.Unit == rates.PerKilogram || o.Unit == rates.PerMetre) {
				pack = perUse // whole bars, plates and sheets
			}
			if pack != nil {
				q = multiply(up(divide(q, pack)), pack)
			}
			if c := multiply(paid(o, q), euros); cash == nil || c.Cmp(cash) < 0 {
				quantity, cash, by = divide(q, perUse), c, o
			}
		}
	}
	return quantity, cash, by
}

func largest(list ...*big.Rat) *big.Rat {
	return slices.MaxFunc(list, func(a, b *big.Rat) int { return a.Cmp(b) })
}

func paid(o rates.Offer, quantity *big.Rat) *big.Rat {
	price := o.Breaks[0].Price.Likely.Rat()
	for _, b := range o.Breaks {
		if quantity.Cmp(b.From.Likely.Rat()) >= 0 {
			price = b.Price.Likely.Rat()
		}
	}
	value := multiply(quantity, price)
	in := o.Inbound
	return plus(plus(value, or(in.Fixed, "0")), plus(multiply(quantity, or(in.PerUnit, "0")), multiply(value, or(in.Share, "0"))))
}

// cut is what stock a made part is charged with, 6 % on it, and less what its
// chips bring.
func (r *recount) cut(p *bom.Part, start, good *big.Rat) *big.Rat {
	st := find(r.t, r.b.Stocks, func(s *bom.Stock) bool { return s.ID == p.Blank.Stock })
	m := find(r.t, r.b.Materials, func(m *rates.Material) bool { return m.ID == st.Material })
	mass := divide(multiply(volume(st), m.DensityGCM3.Likely.Rat()), rat("1000000"))
	per := perStock(st, p.Blank)
	bars, cash, _ := r.order(st.ID, up(divide(start, per)), mass, divide(st.LengthMM.Likely.Rat(), rat("1000")))
	left := less(multiply(down(bars), per), start)
	charged := less(cash, multiply(multiply(left, or(p.Blank.LeftoverValue, "0")), divide(cash, multiply(bars, per))))
	chips := less(multiply(less(bars, divide(left, per)), mass), multiply(good, divide(or(p.MassG, "0"), rat("1000"))))
	reclaim := multiply(chips, multiply(or(m.RecoveredShare, "1"), or(m.ReclaimPerKg, "0")))
	return less(multiply(charged, rat("1.06")), reclaim)
}

// volume is that of one piece of stock, in mm³.
func volume(s *bom.Stock) *big.Rat {
	quarterPi := rat("0.78539816339744830961566084581987575")
	length := s.LengthMM.Likely.Rat()
	if s.DiameterMM == nil {
		return multiply(length, multiply(or(s.WidthMM, "0"), or(s.ThicknessMM, "0")))
	}
	outer, inner := or(s.DiameterMM, "0"), or(s.InnerDiameterMM, "0")
	return multiply(length, multiply(quarterPi, less(multiply(outer, outer), multiply(inner, inner))))
}

// perStock cuts one bar, or lays blanks on one sheet, in tenths of a millimetre.
func perStock(s *bom.Stock, b *bom.Blank) *big.Rat {
	tenths := func(n *bom.Number) int64 {
		f, _ := multiply(or(n, "0"), rat("10")).Float64()
		return int64(math.Round(f))
	}
	gap, edges := tenths(b.KerfMM), 2*tenths(b.MarginMM)
	fit := func(side, blank int64) int64 { return (side + gap) / (blank + gap) }
	length, width := tenths(&s.LengthMM)-edges, tenths(s.WidthMM)-edges
	switch {
	case s.Form.Linear() && b.GripMM != nil:
		return new(big.Rat).SetInt64((length - tenths(b.TrimMM) - tenths(b.GripMM)) / (tenths(b.LengthMM) + gap))
	case s.Form.Linear():
		return new(big.Rat).SetInt64(fit(length-tenths(b.TrimMM), tenths(b.LengthMM)))
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
