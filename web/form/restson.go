package form

import (
	"kerfbook/bom"
	"kerfbook/costing/estimate"
	"kerfbook/web/frame"
)

// RestsOn is the cost that a price of a part by itself rests on. It hangs on no margin: where
// none is asked the price is that without one. alike says that all channels have it.
func RestsOn(c *frame.Call, asked estimate.MixLine, day bom.Date) (cost frame.Fig, alike bool, err error) {
	if asked.Margin == nil {
		none := bom.Whole(0)
		asked.Margin = &none
	}
	mix := []estimate.MixLine{asked}
	e, _, err := c.Site.Service.Estimate(c.R.Context(), mix, day)
	if err != nil {
		return cost, false, err
	}
	alike = true
	channels := e.Variants[0].Channels
	for _, p := range channels {
		alike = alike && p.RestsOnCost.Value == channels[0].RestsOnCost.Value
		if cost.Value == "" {
			cost = frame.Prover(frame.View{Lines: mix, Day: day}).Money(p.RestsOnCost)
		}
	}
	return cost, alike, nil
}
