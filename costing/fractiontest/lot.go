package fractiontest

import (
	"math/big"

	"kerfbook/bom"
	"kerfbook/costing/rates"
)

// Sent is a lot that goes to a supplier.
type Sent struct {
	In, Yield, MassG *big.Rat // nil where nothing is lost, or the mass of a piece is not known
	MetalPerKg       *big.Rat // paid beside the other prices
	Day              bom.Date
}

// Charge is what the supplier writes on the invoice of one lot: the racks are hung one
// after another, then every unit of surface is charged, and then come the lines below.
func Charge(p rates.Process, w bom.Treatment, sent Sent) *big.Rat {
	in := sent.In
	if in.Sign() == 0 {
		return new(big.Rat)
	}
	area := Minus(Typed(w.AreaDM2), Typed(w.MaskedDM2))
	loads := int64(1)
	if perLoad := hung(p, w, area); perLoad != nil {
		loads = 0
		for left := in; left.Sign() > 0; loads++ {
			left = new(big.Rat).Sub(left, perLoad)
		}
	}
	charged := area
	if least := Typed(p.LeastAreaDM2); w.AreaDM2 != nil && charged.Cmp(least) < 0 {
		charged = least
	}
	each := new(big.Rat)
	for _, perPiece := range []*big.Rat{
		Typed(p.PiecePrice), step(p.PieceBreaks, in),
		Times(charged, Typed(p.AreaPrice)), Times(charged, step(p.AreaBreaks, Times(charged, in))),
		Times(charged, Typed(w.ThicknessUM), Typed(p.AreaMicronPrice)),
		Times(Typed(w.Masks), Typed(p.MaskPrice)),
		Times(Typed(w.Masks), Typed(p.MaskMin), Typed(p.MaskRatePerH), big.NewRat(1, 60)),
	} {
		each = Plus(each, perPiece)
	}
	if sent.MassG != nil {
		each = Plus(each, Times(sent.MassG, big.NewRat(1, 1000), Typed(p.KilogramPrice)))
	}
	lot := Plus(Typed(p.Fixed), Times(big.NewRat(loads, 1), Typed(p.LoadCharge)), Times(in, each))
	if least := Typed(p.Minimum); lot.Cmp(least) < 0 {
		lot = least
	}
	return Plus(Times(lot, Plus(big.NewRat(1, 1), shares(p, sent.Day))), extras(p, w, sent), Typed(p.TransportThere), Typed(p.TransportBack), new(big.Rat).Neg(paidBack(p, sent, each)))
}

// step is the price at a quantity: the last whose quantity is reached, or the first.
func step(breaks []rates.PriceBreak, quantity *big.Rat) *big.Rat {
	price := new(big.Rat)
	for i, b := range breaks {
		if i == 0 || quantity.Cmp(b.From.Likely.Rat()) >= 0 {
			price = b.Price.Likely.Rat()
		}
	}
	return price
}

// shares are the surcharges of a day: of each kind the one that began last.
func shares(p rates.Process, day bom.Date) *big.Rat {
	began, of := map[bom.ID]bom.Date{}, map[bom.ID]*big.Rat{}
	for _, s := range p.Surcharges {
		if s.From <= day && s.From > began[s.ID] {
			began[s.ID], of[s.ID] = s.From, s.Share.Likely.Rat()
		}
	}
	sum := new(big.Rat)
	for _, share := range of {
		sum.Add(sum, share)
	}
	return sum
}

// extras are the charges by name and the metal at the price of the day.
func extras(p rates.Process, w bom.Treatment, sent Sent) *big.Rat {
	sum := new(big.Rat)
	for _, c := range p.Charges {
		named := !c.WhenAsked
		for _, id := range w.Charges {
			named = named || id == c.ID
		}
		amount := c.Amount.Likely.Rat()
		switch {
		case !named:
		case c.Per == rates.EachPiece:
			sum = Plus(sum, Times(amount, sent.In))
		case c.Per == rates.PerContact:
			sum = Plus(sum, Times(amount, sent.In, Typed(w.Contacts)))
		case c.OverPieces != nil:
			sum = Plus(sum, Times(amount, sent.In, new(big.Rat).Inv(c.OverPieces.Likely.Rat())))
		default:
			sum = Plus(sum, amount)
		}
	}
	if p.Metal == nil {
		return sum
	}
	grams := Times(Minus(Typed(w.AreaDM2), Typed(w.MaskedDM2)), Typed(w.ThicknessUM), Typed(p.CoatingDensityGCM3), big.NewRat(1, 100))
	if p.Metal.MassG != nil {
		grams = Typed(p.Metal.MassG)
	}
	if p.Metal.Share != nil {
		grams = Times(grams, Typed(p.Metal.Share))
	}
	return Plus(sum, Times(sent.In, grams, big.NewRat(1, 1000), sent.MetalPerKg))
}

// paidBack is what the supplier pays for pieces spoiled beyond what is allowed.
func paidBack(p rates.Process, sent Sent, each *big.Rat) *big.Rat {
	if p.AllowedLoss == nil || sent.Yield == nil {
		return new(big.Rat)
	}
	beyond := Minus(Minus(big.NewRat(1, 1), sent.Yield), Typed(p.AllowedLoss))
	if beyond.Sign() < 0 {
		return new(big.Rat)
	}
	return Times(sent.In, beyond, Typed(p.SpoiledTimes), each)
}

// hung is how many pieces hang in a load: the number given, or one after the other
// until its area or its space is used up; nil where neither is given.
func hung(p rates.Process, w bom.Treatment, area *big.Rat) *big.Rat {
	if w.PiecesPerLoad != nil {
		return w.PiecesPerLoad.Likely.Rat()
	}
	byArea, bySpace := p.LoadDM2 != nil && w.AreaDM2 != nil, p.LoadDM3 != nil && w.SpaceDM3 != nil
	if !byArea && !bySpace {
		return nil
	}
	n := int64(0)
	used, room := area, Typed(w.SpaceDM3)
	for (!byArea || used.Cmp(p.LoadDM2.Likely.Rat()) <= 0) && (!bySpace || room.Cmp(p.LoadDM3.Likely.Rat()) <= 0) {
		n++
		used, room = Plus(used, area), Plus(room, Typed(w.SpaceDM3))
	}
	return big.NewRat(max(n, 1), 1)
}
