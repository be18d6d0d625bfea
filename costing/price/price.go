package price

import (
	"kerfbook/costing/graph"
	"kerfbook/costing/rates"
)

// Figures are the prices of one unit and what they earn, in money/piece unless
// said otherwise.
type Figures struct {
	Wanted    graph.ID // margin or markup wanted, plain; None for entered prices
	Beside    graph.ID // margin wanted beside an entered price, plain; None without one
	TargetNet graph.ID // what must come in for the margin or markup wanted; None for entered prices
	List      graph.ID // net list price before discounts
	Free      graph.ID // price asked before the price point; None for an entered shelf price
	Shelf     graph.ID // price asked, after tax, fees and price point
	ShelfNet  graph.ID // price asked without tax
	Proceeds  graph.ID // what is left of the price asked after tax, fees and discounts
	Profit    graph.ID // proceeds less full cost and allowances
	Margin    graph.ID // plain, profit ÷ proceeds
	Markup    graph.ID // plain, profit ÷ cost
	Target    graph.ID // cost at which an entered price earns the margin wanted; None without one
	// Required is the price asked that earns just what is wanted, before the price
	// point: Free, or beside an entered price the price there would be instead;
	// None where no margin or markup is wanted.
	Required graph.ID
}

// Build writes the prices of one unit whose full cost is given.
func Build(s graph.Scope, def rates.Price, c Channel, full graph.ID) Figures {
	b := builder{s: s, def: def, c: c}
	b.cost = s.By("P1").Total("cost-and-allowances", "full cost and allowances", full, c.Returns, c.Warranty, c.Carriage)
	const none = graph.None
	b.f = Figures{Wanted: none, Beside: none, TargetNet: none, Free: none, Target: none, Required: none}
	b.forward()
	b.backward()
	b.require()
	return b.f
}

type builder struct {
	s    graph.Scope
	def  rates.Price
	c    Channel
	cost graph.ID
	f    Figures
}

// forward goes from cost, or an entered price, to the price asked.
func (b *builder) forward() {
	if b.def.ShelfPrice != nil {
		unit := b.s.Unit(b.cost)
		b.f.Shelf = b.s.Number("shelf-price", "price asked", unit, *b.def.ShelfPrice, "shelf_price")
		b.f.List = graph.None
		return
	}
	b.f.List = b.listPrice()
	b.f.Free = b.gross(b.shelfNet(b.f.List))
	b.f.Shelf = b.point(b.f.Free)
}

// listPrice is the net list price: entered, or what the margin or markup wanted
// comes to.
func (b *builder) listPrice() graph.ID {
	if b.def.ListPrice != nil {
		return b.s.Number("list-price", "net list price", b.s.Unit(b.cost), *b.def.ListPrice, "list_price")
	}
	b.f.TargetNet = b.targetNet(b.s.By("P1"))
	return b.targetList()
}

// targetList is the target net price with the fixed payment fee, which no discount
// makes smaller, and the discounts put on top, each as a share of the price it is
// taken off.
func (b *builder) targetList() graph.ID {
	s, price := b.s.By("P2"), b.s.By("P3").Total("net-and-fee", "net price and payment fee per sale", b.f.TargetNet, b.c.PaymentFixed)
	if b.c.takenOff != graph.None {
		price = s.Divide("target-price", "price before cash discount and commission", price, b.c.takenOffDivisor)
	}
	if b.c.afterCustomer != graph.None {
		price = s.Divide("list-price", "net list price", price, b.c.afterCustomer)
	}
	return price
}

// targetNet is cost ÷ (1 − margin) or cost × (1 + markup).
func (b *builder) targetNet(s graph.Scope) graph.ID {
	one := s.One(graph.Plain)
	if b.def.Markup != nil {
		wanted := s.Number("markup-wanted", "markup wanted", graph.Plain, *b.def.Markup, "markup")
		b.f.Wanted = wanted
		return s.Multiply("target-net", "net price wanted", b.cost, s.Add("markup-factor", "1 + markup", one, wanted))
	}
	wanted := s.Number("margin-wanted", "margin wanted", graph.Plain, *b.def.Margin, "margin")
	b.f.Wanted = wanted
	return s.Divide("target-net", "net price wanted", b.cost, s.Subtract("margin-factor", "1 − margin", one, wanted))
}

// shelfNet puts the reseller's margin, a share of the net shelf price, on top.
func (b *builder) shelfNet(list graph.ID) graph.ID {
	if b.c.ResellerMargin == graph.None {
		return list
	}
	s := b.s.By("P2")
	left := s.Subtract("reseller-factor", "1 − margin of the reseller", s.One(graph.Plain), b.c.ResellerMargin)
	return s.Divide("shelf-net-wanted", "net shelf price", list, left)
}

// gross is P3: net with the fixed fee ÷ share left after tax and fees.
func (b *builder) gross(net graph.ID) graph.ID {
	s := b.s.By("P3")
	if b.f.TargetNet == graph.None {
		net = s.Total("net-and-fee", "net price and payment fee per sale", net, b.c.PaymentFixed)
	}
	if b.c.factor == graph.None {
		return net
	}
	return s.Divide("gross-wanted", "price with tax and fees", net, b.c.factor)
}

// point is the smallest price of the form k × step + ending not below the price
// wanted; without a rule, the price is rounded up to the smallest coin.
func (b *builder) point(price graph.ID) graph.ID {
	s, c := b.s.By("P3"), b.c
	perPiece := func(name, label string, id graph.ID) graph.ID {
		return s.Divide(name, label, id, s.One(graph.Piece))
	}
	if c.PointStep == graph.None {
		return s.Ceiling("shelf-price", "price asked", price, perPiece("smallest-coin", "smallest coin", c.Minor))
	}
	step := perPiece("point-step", "distance of price points", c.PointStep)
	if c.PointEnding == graph.None {
		return s.Ceiling("shelf-price", "price asked", price, step)
	}
	ending := perPiece("point-ending", "ending of price points", c.PointEnding)
	above := s.Subtract("above-ending", "price wanted less the ending", price, ending)
	steps := s.Ceiling("point-base", "price point without its ending", above, step)
	shelf := s.Add("shelf-price", "price asked", steps, ending)
	return shelf
}

// backward goes from the price asked to what it earns.
func (b *builder) backward() {
	s, c, one := b.s.By("P3"), b.c, b.s.One(graph.Plain)
	b.f.ShelfNet = b.f.Shelf
	if c.Tax != graph.None {
		b.f.ShelfNet = s.Divide("shelf-net", "price asked without tax", b.f.Shelf, s.Add("shelf-tax-factor", "1 + tax", one, c.Tax))
		s.Subtract("shelf-tax", "tax in the price asked", b.f.Shelf, b.f.ShelfNet)
	}
	kept := b.lessShares(b.f.ShelfNet)
	if c.ResellerMargin != graph.None {
		kept = s.Multiply("trade-price", "price to the reseller", kept, s.Subtract("trade-factor", "1 − margin of the reseller", one, c.ResellerMargin))
	}
	b.f.Proceeds = b.lessFixed(b.lessDiscounts(kept))
	b.earned()
}

// lessShares takes the fees that are shares of the gross price off the net.
func (b *builder) lessShares(net graph.ID) graph.ID {
	if b.c.fees == graph.None {
		return net
	}
	s := b.s.By("P3")
	fees := s.Multiply("fee-by-share", "fees by share of the price", b.f.Shelf, b.c.fees)
	s.Sum("fees", "payment and market fees", fees, b.c.PaymentFixed) // for display
	return s.Subtract("after-fee-shares", "left after tax and fees by share", net, fees)
}

func (b *builder) lessDiscounts(price graph.ID) graph.ID {
	s, left := b.s.By("P2"), []graph.ID{price}
	for _, share := range []graph.ID{b.c.afterCustomer, b.c.takenOff} {
		if share != graph.None {
			left = append(left, share)
		}
	}
	if len(left) == 1 {
		return price
	}
	return s.Multiply("after-discounts", "left after discounts", left...)
}

// lessFixed takes the payment fee of the sale off, which is paid once whatever
// the discounts.
func (b *builder) lessFixed(price graph.ID) graph.ID {
	if b.c.PaymentFixed == graph.None {
		return price
	}
	return b.s.By("P3").Subtract("after-fees", "left after all fees", price, b.c.PaymentFixed)
}

// earned writes profit, margin and markup, and for an entered price with a
// margin wanted the cost it allows.
func (b *builder) earned() {
	s := b.s.By("P1")
	b.f.Profit = s.Subtract("profit", "profit", b.f.Proceeds, b.cost)
	b.f.Margin = s.Divide("margin", "margin", b.f.Profit, b.f.Proceeds)
	b.f.Markup = s.Divide("markup", "markup", b.f.Profit, b.cost)
	if !b.entered() || b.def.Margin == nil {
		return
	}
	b.f.Beside = s.Number("margin-wanted", "margin wanted", graph.Plain, *b.def.Margin, "margin")
	share := s.Subtract("margin-factor", "1 − margin", s.One(graph.Plain), b.f.Beside)
	b.f.Target = s.Multiply("target-cost", "cost the price allows", b.f.Proceeds, share)
	s.Subtract("cost-gap", "cost above what the price allows", b.cost, b.f.Target)
}

func (b *builder) entered() bool { return b.def.ListPrice != nil || b.def.ShelfPrice != nil }

// require finds the price that earns just what is wanted. Beside an entered price
// it is P1, P2 and P3 forwards, as if none were entered.
func (b *builder) require() {
	if !b.entered() {
		b.f.Required = b.f.Free
		return
	}
	if b.f.Beside == graph.None {
		return
	}
	share := b.s.Lookup(b.s.Key("margin-factor"))
	in := builder{s: b.s.In("required"), def: b.def, c: b.c, cost: b.cost}
	in.f.TargetNet = in.s.By("P1").Divide("target-net", "net price wanted", b.cost, share)
	b.f.Required = in.gross(in.shelfNet(in.targetList()))
}
