package purchase

import "kerfbook/costing/graph"

// Credit writes the credit for leftover and the cost charged to the batch:
// leftover × price paid × share. price is the cost of one unit of what is left,
// inbound included; value is the share, None for no credit.
func Credit(s graph.Scope, order Order, leftover, price, value graph.ID) graph.ID {
	if value == graph.None {
		return order.Cost
	}
	credit := s.Multiply("leftover-credit", "credit for leftover", leftover, price, value)
	return s.Subtract("charged", "cost charged to the batch", order.Cost, credit)
}

// Part writes B2, the leftover of a bought part, and gives the cost charged. The
// share credited is that of the offer chosen.
func Part(s graph.Scope, order Order, need graph.ID) graph.ID {
	s = s.By("B2")
	leftover := s.Subtract("leftover", "left over", order.Bought, need)
	if order.LeftoverValue == graph.None {
		return order.Cost
	}
	return Credit(s, order, leftover, PricePaid(s, leftover, order.Cost, order.Bought), order.LeftoverValue)
}

// PricePaid is cost ÷ bought where something is left over, and nothing where
// not, so that an order of nothing has a price.
func PricePaid(s graph.Scope, leftover, cost, bought graph.ID) graph.ID {
	// Per unit bought and not needed: what was paid to go up to a break is in it.
	paid := s.Divide("paid-per-unit", "price paid per unit, inbound included", cost, bought)
	return s.Choose("leftover-price", "price of what is left over", leftover, graph.Greater, s.Zero(s.Unit(leftover)), paid, s.Zero(s.Unit(paid)))
}
