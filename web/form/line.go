package form

import (
	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/estimate"
	"kerfbook/web/frame"
)

// SoldTo asks for the countries that something is sold to.
func SoldTo(typed string) frame.Field {
	return frame.Field{Name: "to", Label: "Sold to", Hint: "countries by two letters, such as DE, CH", Value: typed, Wide: true}
}

// MarginHint says what a margin is a share of.
const MarginHint = "of the price that is asked, not on top of cost"

// AskLine reads how many of a part are asked for, and at which margin.
func AskLine(c *frame.Call, number bom.ID, fields *[]frame.Field, found *frame.Problems) estimate.MixLine {
	field := func(name, label, standard string) *frame.Field {
		*fields = append(*fields, frame.Field{Name: name, Label: label, Value: c.Typed(name, standard), Mode: "numeric"})
		return &(*fields)[len(*fields)-1]
	}
	line := estimate.MixLine{Part: number, Quantity: bom.Whole(frame.StandardQuantity)}
	margin := ""
	if c.View.Alone() && c.View.Lines[0].Part == number {
		if line = c.View.Lines[0]; line.Margin != nil {
			margin = c.Style.Text(PercentText(line.Margin.Likely.String()))
		}
	}
	f := field("pieces", "How many", line.Quantity.Likely.String())
	f.Suffix = "piece"
	if n, err := frame.ReadQuantity(c.Style, f.Value); err != nil {
		found.Wrong(f, err.Error())
	} else {
		line.Quantity = bom.Exactly(n)
	}
	f = field("margin", "Margin asked", margin)
	f.Suffix, f.Hint = "%", MarginHint
	line.Margin = nil
	if f.Value != "" {
		share, err := ReadPercent(c.Style, f.Value)
		switch {
		case err != nil:
			found.Wrong(f, err.Error())
		case share.IsNegative() || !share.LessThan(decimal.New(1, 0)):
			found.Wrong(f, "a margin is from 0 to below 100 per cent")
		default:
			asked := bom.Exactly(share)
			line.Margin = &asked
		}
	}
	return line
}
