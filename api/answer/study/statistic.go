package study

import (
	"math"
	"strconv"

	"github.com/shopspring/decimal"

	"kerfbook/costing/ask/simulate"
)

// Statistic is what draws came to, with its standard error. Both are decimal text
// with as many digits as mean something at most; empty where there is none. It is
// never an amount of money that anybody promises.
type Statistic struct {
	Value string `json:"value"`
	Error string `json:"standard_error"`
}

// Number gives the value; ok is false where there is none.
func (s Statistic) Number() (v float64, ok bool) {
	v, err := strconv.ParseFloat(s.Value, 64)
	return v, err == nil
}

// Significant digits of statistics and of their errors.
const (
	statisticDigits = 9
	errorDigits     = 3
)

func statisticOf(e simulate.Estimate) Statistic {
	return Statistic{textOf(e.Value, statisticDigits), textOf(e.Error, errorDigits)}
}

// certain is a statistic of what does not vary.
func certain(value string) Statistic { return Statistic{value, "0"} }

// textOf writes a float in plain notation with some significant digits, trailing
// zeros left out; empty where it is no number.
func textOf(v float64, digits int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return ""
	}
	d, err := decimal.NewFromString(strconv.FormatFloat(v, 'e', digits-1, 64))
	if err != nil {
		return ""
	}
	return d.String()
}

// floatOf is the float next to a decimal.
func floatOf(d decimal.Decimal) float64 { return d.InexactFloat64() }

// aboutEqual is how far a drawn price may lie above one that it is compared with
// and count as equal, as a share of it: drawn figures agree with the exact ones
// to that.
const aboutEqual = 1e-9

// atMost gives the chance that a drawn figure does not exceed a price. One that
// does not vary is compared exactly.
func atMost(o *simulate.Output, price decimal.Decimal) Statistic {
	if o.Defined() == 1 {
		if o.Likely.LessThanOrEqual(price) {
			return certain("1")
		}
		return certain("0")
	}
	p := floatOf(price)
	return statisticOf(o.AtMost(p + math.Abs(p)*aboutEqual))
}

// quantileOf gives the value that a share of the draws does not exceed.
func quantileOf(o *simulate.Output, share decimal.Decimal) Statistic {
	if o.Defined() == 1 {
		return certain(o.Likely.String())
	}
	return statisticOf(o.Quantile(floatOf(share)))
}

// Width is a band: what a twentieth, half and all but a twentieth of the draws do not
// exceed.
type Width struct {
	Low    Statistic `json:"low"`
	Middle Statistic `json:"middle"`
	High   Statistic `json:"high"`
}

// Apart is how far the ends of a band lie apart.
func (w Width) Apart() float64 {
	low, _ := w.Low.Number()
	high, _ := w.High.Number()
	return high - low
}

// Narrower is how much another band takes off this one, as a share of its middle.
func (w Width) Narrower(by Width) float64 {
	middle, _ := w.Middle.Number()
	return (w.Apart() - by.Apart()) / middle
}

func widthOf(o *simulate.Output) Width {
	share := func(hundredths int64) Statistic { return quantileOf(o, decimal.New(hundredths, -2)) }
	return Width{share(5), share(50), share(95)}
}
