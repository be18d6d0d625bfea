package price

import (
	"fmt"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/trade"
)

// Figures are the prices of one unit and what they earn, in money/piece unless
// said otherwise.
type Figures struct {
	Wanted graph.ID // margin or markup wanted, plain; None for entered prices
	Beside graph.ID // margin wanted beside an entered price, plain; None without one
	// MarginWanted is Wanted or Beside as a share of the proceeds; None for entered
	// prices.
	MarginWanted graph.ID
	TargetNet    graph.ID // what must come in for the margin or markup wanted; None for entered prices
	List         graph.ID // net list price before discounts
	Free         graph.ID // price asked before the price point; None for an entered shelf price
	Shelf        graph.ID // price asked, after tax, fees and price point
	ShelfNet     graph.ID // price asked without tax
	Proceeds     graph.ID // what is left of the price asked after tax, fees and discounts
	Profit       graph.ID // proceeds less full cost and allowances
	Margin       graph.ID // plain, profit ÷ proceeds
	Markup       graph.ID // plain, profit ÷ cost
	Cost         graph.ID // full cost that the price rests on: the likely one, with what the draws add if it rests on another
	Added        graph.ID // what the draws add; None where the price rests on the likely cost
	Target       graph.ID // cost at which an entered price earns the margin wanted; None without one
	// Required is the price asked that earns just what is wanted, before the price
	// point: Free, or beside an entered price the price there would be instead;
	// None where no margin or markup is wanted.
	Required graph.ID
}

// Build writes the prices of one unit whose full cost is given. draws says how many are
// made, and which, where a price rests on another cost than the likely one.
func Build(s graph.Scope, def trade.Price, c Channel, full graph.ID, draws graph.Draws) Figures {
	b := builder{s: s, def: def, c: c}
	const none = graph.None
	b.f = Figures{Wanted: none, Beside: none, MarginWanted: none, TargetNet: none, Free: none, Target: none, Required: none, Added: none, Cost: full}
	if def.RestsOn.Drawn() && !b.def.Entered() {
		b.rest(full, draws)
	}
	b.cost = s.By("P1").Total("cost-and-allowances", "full cost and allowances", b.f.Cost, c.Returns, c.Warranty, c.Carriage)
	b.forward()
	b.f.ShelfNet = c.WithoutTax(s, b.f.Shelf)
	b.f.Proceeds = c.Proceeds(s, b.f.Shelf, b.f.ShelfNet)
	b.earned()
	b.require()
	return b.f
}

type builder struct {
	s    graph.Scope
	def  trade.Price
	c    Channel
	cost graph.ID
	f    Figures
}

// rest puts what the draws add on the full cost. Drawn is all that the price has to bear,
// allowances with it.
func (b *builder) rest(full graph.ID, draws graph.Draws) {
	s := b.s.By("P1").Within("rests_on")
	borne := s.Total("likely-cost-and-allowances", "likely full cost and allowances", full, b.c.Returns, b.c.Warranty, b.c.Carriage)
	what := "the average of %d draws of "
	if n := b.def.RestsOn.Of100(); n != "" {
		draws.Share, what = b.def.RestsOn.Share(), "what is not exceeded in "+n+" of 100 of %d draws of "
	}
	of := "full cost"
	if borne != full {
		of += " and allowances"
	}
	b.f.Added = s.Drawn("draws-add", "what the draws add to the likely cost", borne, draws,
		fmt.Sprintf(what+"%s, less its likely value; seed %d", draws.Count, of, draws.Seed))
	b.f.Cost = s.Add("cost", "full cost the price rests on", full, b.f.Added)
}

// forward goes from cost, or an entered price, to the price asked: rounded up to a
// price point, or to the smallest coin.
func (b *builder) forward() {
	if b.def.ShelfPrice != nil {
		b.f.Shelf = b.asEntered("shelf-price", "price asked", *b.def.ShelfPrice, "shelf_price")
		b.f.List = graph.None
		return
	}
	b.f.Free = b.free()
	s := b.s.By("P3")
	b.f.Shelf = b.c.Point.PerPiece(s).Reach(s, PointPrice{Price: "shelf-price", Label: "price asked", Above: "above-ending", Base: "point-base"}, b.f.Free)
}

// free is the price asked before the price point, from a net list price entered or
// from what the margin or markup wanted comes to.
func (b *builder) free() graph.ID {
	if b.def.ListPrice != nil {
		b.f.List = b.asEntered("list-price", "net list price", *b.def.ListPrice, "list_price")
		return b.c.Gross(b.s, b.c.WithFee(b.s, b.c.ShelfNet(b.s, b.f.List)))
	}
	b.f.TargetNet = b.targetNet(b.s.By("P1"))
	b.f.List = b.c.ListPrice(b.s, b.c.WithFee(b.s, b.f.TargetNet))
	return b.c.Gross(b.s, b.c.ShelfNet(b.s, b.f.List))
}

// asEntered is the price of a variant where one is entered for all that the record holds for.
func (b *builder) asEntered(name, label string, price bom.Number, path string) graph.ID {
	return b.s.By("P1").Add(name, label, b.s.Number("entered-"+name, label+" as entered", b.s.Unit(b.cost), price, path))
}

// targetNet is cost ÷ (1 − margin) or cost × (1 + markup).
func (b *builder) targetNet(s graph.Scope) graph.ID {
	one := s.One(graph.Plain)
	if b.def.Markup != nil {
		wanted := s.Number("markup-wanted", "markup wanted", graph.Plain, *b.def.Markup, "markup")
		b.f.Wanted = wanted
		factor := s.Add("markup-factor", "1 + markup", one, wanted)
		b.f.MarginWanted = s.Divide("margin-of-markup", "markup wanted as a margin", wanted, factor)
		return s.Multiply("target-net", "net price wanted", b.cost, factor)
	}
	wanted := s.Number("margin-wanted", "margin wanted", graph.Plain, *b.def.Margin, "margin")
	b.f.Wanted, b.f.MarginWanted = wanted, wanted
	return s.Divide("target-net", "net price wanted", b.cost, s.Subtract("margin-factor", "1 − margin", one, wanted))
}

// earned writes profit, margin and markup, and for an entered price with a
// margin wanted the cost it allows.
func (b *builder) earned() {
	s := b.s.By("P1")
	b.f.Profit = s.Subtract("profit", "profit", b.f.Proceeds, b.cost)
	b.f.Margin = s.Divide("margin", "margin", b.f.Profit, b.f.Proceeds)
	b.f.Markup = s.Divide("markup", "markup", b.f.Profit, b.cost)
	if !b.def.Entered() || b.def.Margin == nil {
		return
	}
	b.f.Beside = s.Number("margin-wanted", "margin wanted", graph.Plain, *b.def.Margin, "margin")
	b.f.MarginWanted = b.f.Beside
	share := s.Subtract("margin-factor", "1 − margin", s.One(graph.Plain), b.f.Beside)
	b.f.Target = s.Multiply("target-cost", "cost the price allows", b.f.Proceeds, share)
	s.Subtract("cost-gap", "cost above what the price allows", b.cost, b.f.Target)
}

// require finds the price that earns just what is wanted. Beside an entered price
// it is P1, P2 and P3 forwards, as if none were entered.
func (b *builder) require() {
	if !b.def.Entered() {
		b.f.Required = b.f.Free
		return
	}
	if b.f.Beside == graph.None {
		return
	}
	share := b.s.Known("margin-factor")
	in := b.s.In("required")
	net := in.By("P1").Divide("target-net", "net price wanted", b.cost, share)
	b.f.Required = b.c.Gross(in, b.c.ShelfNet(in, b.c.ListPrice(in, b.c.WithFee(in, net))))
}

// Point is a rule for prices people are willing to see, as figures: they have the
// form k × step + ending. Without an ending, None, they are multiples of the step.
type Point struct {
	Step, Ending graph.ID
	ruled        bool
}

// NewPoint writes a rule in a unit; without one prices are multiples of the smallest coin.
func NewPoint(s graph.Scope, unit graph.Unit, def *trade.PricePoint, coin graph.ID) Point {
	if def == nil {
		return Point{coin, graph.None, false}
	}
	step := s.Shared("point-step", "distance of price points", unit, def.Step, "price_point.step")
	return Point{step, s.Optional("point-ending", "ending of price points", unit, def.Ending, "price_point.ending"), true}
}

// PerPiece is a rule in money as one for the price of a piece.
func (p Point) PerPiece(s graph.Scope) Point {
	one := s.One(graph.Piece)
	if !p.ruled {
		return Point{s.Divide("smallest-coin", "smallest coin", p.Step, one), graph.None, false}
	}
	return Point{s.Divide("point-step", "distance of price points", p.Step, one), s.Divide("point-ending", "ending of price points", p.Ending, one), true}
}

// PointPrice names the figures of a price at a price point.
type PointPrice struct{ Price, Label, Above, Base string }

// Reach is the smallest price of the rule that is not below the one wanted. (P3) It is
// asked before the batch is made.
func (p Point) Reach(s graph.Scope, as PointPrice, wanted graph.ID) graph.ID {
	if p.Ending == graph.None {
		return s.Settle(s.Ceiling(as.Price, as.Label, wanted, p.Step), graph.Settled{Asked: true})
	}
	above := s.Subtract(as.Above, "price wanted less the ending", wanted, p.Ending)
	return s.Settle(s.Add(as.Price, as.Label, s.Ceiling(as.Base, "price point without its ending", above, p.Step), p.Ending), graph.Settled{Asked: true})
}
