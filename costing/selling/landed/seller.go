package landed

import (
	"slices"

	"github.com/shopspring/decimal"

	"kerfbook/costing/graph"
	"kerfbook/costing/selling/price"
)

// seller completes a settlement with what the seller keeps: what the buyer pays
// the seller, less what is owed on to others. goods is the price of the goods
// without tax, which a reseller's margin and discounts are taken off. (L10)
func (w *work) seller(s graph.Scope, out Settlement, d delivery, goods graph.ID, owed ...graph.ID) Settlement {
	out.AfterReclaim = graph.None
	// Shown beside the total, not in its place: the money has to be paid first.
	if w.ctx.Destination.BuyerReclaims && out.Tax != graph.None {
		out.AfterReclaim = s.Subtract("after-reclaim", "landed price after the buyer's tax is reclaimed", out.Total, out.Tax)
	}
	taken := w.takenOff(s, out.Price, goods)
	out.Fees, out.Reseller, out.Discounts = taken.Fees, taken.Reseller, taken.Discounts
	lost := slices.Concat(owed, []graph.ID{d.cost, out.Fees, out.Reseller, out.Discounts})
	out.Kept = s.Subtract("kept", "kept by the seller", out.Price, w.total(s, "owed-on", "tax, duty, delivery, fees and discounts the seller bears", lost...))
	out.KeptBook = w.toBook(s, "kept-book", "kept by the seller, in the currency of the book", out.Kept)
	return w.profit(s, out)
}

// goodsIn is the part of an all-in price without tax that is left for the goods
// once delivery and what is owed at the border are paid from it.
func (w *work) goodsIn(s graph.Scope, net graph.ID, d delivery, dues ...graph.ID) graph.ID {
	return s.Subtract("goods", "price of the goods contained in the price", net,
		w.total(s, "beside-goods", "delivery and dues contained in the price", append(dues, d.cost)...))
}

// toBook brings an amount back into the currency of the book, at the selling
// rate it left it by.
func (w *work) toBook(s graph.Scope, name, label string, amount graph.ID) graph.ID {
	if r := w.sellingRate(); r != graph.None {
		// Not at a buying rate: the sale was priced at this one, and what is won or lost on
		// exchange is no profit of the product.
		return s.Divide(name, label, amount, r)
	}
	return s.Add(name, label, amount)
}

// takenOff is what the channel takes off the sale; without one, no fees.
func (w *work) takenOff(s graph.Scope, gross, net graph.ID) price.Deductions {
	t := price.Deductions{Reseller: graph.None, Discounts: graph.None, Fees: graph.None}
	if w.ctx.Channel != nil {
		t = w.ctx.Channel.TakenOff(s, price.Sale{Gross: gross, Net: net,
			Fixed: func(perPiece graph.ID) graph.ID {
				sale := s.By("P3").Multiply("fixed-fee-book", "payment fee of one sale", perPiece, s.One(graph.Piece))
				return w.toLocal(s.By("P3"), "fixed-fee", "payment fee of one sale at the selling rate", sale)
			},
			Round: func(name, label string, amount graph.ID) graph.ID { return w.round(s, name, label, amount) },
		})
	}
	if t.Fees == graph.None {
		t.Fees = s.By("P3").Add("fees", "no fees", s.Zero(w.money))
	}
	return t
}

// profit sets what is kept against full cost and the channel's allowances for
// returns and warranty, where every line has a cost. Carriage is no allowance
// here: the delivery itself has been paid. The margin on nothing is nothing.
func (w *work) profit(s graph.Scope, out Settlement) Settlement {
	out.Profit, out.Margin = graph.None, graph.None
	var costs []graph.ID
	for _, l := range w.consignment.Lines {
		if l.Cost == graph.None {
			return out
		}
		costs = append(costs, l.Cost, l.Quantity)
		for _, allowance := range w.allowances() {
			costs = append(costs, allowance, l.Quantity)
		}
	}
	cost := w.s.SumProducts("cost", "full cost and allowances of the goods", costs...)
	out.Profit = s.Subtract("profit", "kept by the seller less full cost and allowances", out.KeptBook, cost)
	ratio := s.Divide("margin-of-kept", "profit ÷ kept", out.Profit, out.KeptBook)
	out.Margin = s.Choose("margin", "margin: profit ÷ kept", out.KeptBook, graph.Greater, s.Zero(w.home), ratio, s.Zero(graph.Plain))
	return out
}

// keepsMargin checks that an all-paid price, which moves in steps, keeps the margin
// wanted as people see it, to a tenth of a per cent.
func (w *work) keepsMargin(s graph.Scope, out Settlement) {
	wanted := w.marginWanted()
	if wanted == graph.None || out.Margin == graph.None {
		return
	}
	// Without the rounding a price point a cent short of the margin would fail the check
	// while the page shows the margin wanted.
	tenth := s.Fixed("tenth-of-a-percent", "0.1 %", graph.Plain, decimal.New(1, -3), "as margins are shown")
	s.Check("keeps-margin", "the all-paid price of "+w.s.Thing()+" keeps the margin wanted",
		s.Round("margin-shown", "margin to a tenth of a per cent", out.Margin, tenth), graph.GreaterOrEqual,
		s.Round("margin-wanted", "margin wanted to a tenth of a per cent", wanted, tenth))
}

// marginWanted is that of the goods together: 1 − cost ÷ what must be kept of each;
// None where a line has none.
func (w *work) marginWanted() graph.ID {
	lines := w.consignment.Lines
	switch {
	case slices.ContainsFunc(lines, func(l Line) bool { return l.Margin == nil || l.Cost == graph.None }):
		return graph.None
	case len(lines) == 1:
		return *lines[0].Margin
	}
	// Not a mean of margins: each line's money counts by what has to be kept of it.
	s, one := w.s.By("P1"), w.s.One(graph.Plain)
	var needed []graph.ID
	for _, l := range lines {
		ls := s.In("line", l.Key)
		cost := ls.Multiply("cost", "full cost and allowances of all "+l.Name, s.Total(l.Key+"-cost", "full cost and allowances of one "+l.Name, append(w.allowances(), l.Cost)...), l.Quantity)
		needed = append(needed, ls.Divide("needed", "what must be kept of all "+l.Name, cost, ls.Subtract("margin-factor", "1 − margin wanted", one, *l.Margin)))
	}
	return s.Subtract("margin-wanted", "margin wanted of the goods together", one,
		s.Divide("cost-of-needed", "cost as a share of what must be kept", w.s.Known("cost"), s.Add("needed", "what must be kept", needed...)))
}

// allowances are the channel's allowances per piece.
func (w *work) allowances() []graph.ID {
	if w.ctx.Channel == nil {
		return nil
	}
	return slices.DeleteFunc([]graph.ID{w.ctx.Channel.Returns, w.ctx.Channel.Warranty}, func(id graph.ID) bool { return id == graph.None })
}
