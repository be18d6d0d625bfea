package fractiontest

import (
	"math/big"

	"kerfbook/bom"
	"kerfbook/costing/rates"
)

// Charge is what the supplier writes on the invoice of one lot: the racks are
// hung one after another, and then every unit of surface is charged.
func Charge(p rates.Process, w bom.Treatment, unitsIn *big.Rat) *big.Rat {
	if unitsIn.Sign() == 0 {
		return new(big.Rat)
	}
	area := Minus(Typed(w.AreaDM2), Typed(w.MaskedDM2))
	loads := int64(1)
	if perLoad := hung(p, w, area); perLoad != nil {
		loads = 0
		for left := unitsIn; left.Sign() > 0; loads++ {
			left = new(big.Rat).Sub(left, perLoad)
		}
	}
	lot := Plus(Typed(p.Fixed), Times(big.NewRat(loads, 1), Typed(p.LoadCharge)))
	for _, perPiece := range []*big.Rat{
		Typed(p.PiecePrice),
		Times(area, Typed(p.AreaPrice)),
		Times(area, Typed(w.ThicknessUM), Typed(p.AreaMicronPrice)),
		Times(Typed(w.Masks), Typed(p.MaskPrice)),
		Times(Typed(w.Masks), Typed(p.MaskMin), Typed(p.MaskRatePerH), big.NewRat(1, 60)),
	} {
		lot = Plus(lot, Times(unitsIn, perPiece))
	}
	if least := Typed(p.Minimum); lot.Cmp(least) < 0 {
		lot = least
	}
	return Plus(lot, Plus(Typed(p.TransportThere), Typed(p.TransportBack)))
}

// hung is how many pieces hang in a load: the number given, or one after the other
// until the area of the load is used up; nil where neither is given.
func hung(p rates.Process, w bom.Treatment, area *big.Rat) *big.Rat {
	if w.PiecesPerLoad != nil || p.LoadDM2 == nil || w.AreaDM2 == nil {
		if w.PiecesPerLoad == nil {
			return nil
		}
		return w.PiecesPerLoad.Likely.Rat()
	}
	n := int64(0)
	for used := area; used.Cmp(p.LoadDM2.Likely.Rat()) <= 0; used = Plus(used, area) {
		n++
	}
	return big.NewRat(max(n, 1), 1)
}
