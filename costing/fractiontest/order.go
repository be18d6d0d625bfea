package fractiontest

import (
	"math/big"

	"kerfbook/costing/rates"
)

// Paid is what an order of a quantity of purchase units costs in all, read off
// the offer line by line.
func Paid(o rates.Offer, quantity *big.Rat) *big.Rat {
	price := o.Breaks[0].Price.Likely.Rat()
	for _, b := range o.Breaks {
		if quantity.Cmp(b.From.Likely.Rat()) >= 0 {
			price = b.Price.Likely.Rat()
		}
	}
	value := Times(quantity, price)
	if least := Typed(o.LeastValue); value.Cmp(least) < 0 {
		value = least
	}
	charges := new(big.Rat)
	for _, c := range o.OrderCharges {
		charges = Plus(charges, c.Amount.Likely.Rat())
	}
	if o.Inbound == nil {
		return Plus(value, charges)
	}
	extra := Plus(charges, Typed(o.Inbound.Fixed), Times(quantity, Typed(o.Inbound.PerUnit)))
	return Plus(Plus(value, extra), Times(value, Typed(o.Inbound.Share)))
}

// BestOrder tries every quantity that may be ordered, from the smallest up: all
// multiples up to beyond the highest break, or, where there is no multiple, the
// quantities at which anything changes and a grid between them. A larger one must
// be cheaper to win.
func BestOrder(o rates.Offer, need, grid *big.Rat) (quantity, cost *big.Rat) {
	if need.Sign() == 0 {
		return new(big.Rat), new(big.Rat)
	}
	least := need
	if m := Typed(o.MOQ); m.Cmp(least) > 0 {
		least = m
	}
	for _, q := range candidates(o, least, grid) {
		if c := Paid(o, q); cost == nil || c.Cmp(cost) < 0 || c.Cmp(cost) == 0 && q.Cmp(quantity) < 0 {
			quantity, cost = q, c
		}
	}
	return quantity, cost
}

func candidates(o rates.Offer, least, grid *big.Rat) (out []*big.Rat) {
	step, top := Typed(o.Multiple), o.Breaks[len(o.Breaks)-1].From.Likely.Rat()
	if step.Sign() > 0 {
		q := new(big.Rat)
		for q.Cmp(least) < 0 {
			q = Plus(q, step)
		}
		for ; len(out) == 0 || Minus(q, step).Cmp(top) <= 0; q = Plus(q, step) {
			out = append(out, q)
		}
		return out
	}
	for q := least; len(out) == 0 || q.Cmp(top) <= 0; q = Plus(q, grid) {
		out = append(out, q)
	}
	for _, b := range o.Breaks {
		if from := b.From.Likely.Rat(); from.Cmp(least) >= 0 {
			out = append(out, from)
		}
	}
	return out
}
