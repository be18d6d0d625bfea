package answer

import (
	"slices"

	"kerfbook/bom"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/papers/costbook"
)

// firstPage is what a cost workbook shows of a batch before anything else: its
// variants in columns, and behind several the whole batch. A line of which there is
// no figure is not shown.
type firstPage struct{ *estimate.Estimate }

func (p firstPage) tables() []costbook.Table {
	columns := make([]string, len(p.Variants))
	for i, v := range p.Variants {
		columns[i] = v.Name
		if len(v.Line.Choices) > 0 { // another variant may be of the same trim
			columns[i] = v.Line.Name()
		}
	}
	and := slices.Clone(columns)
	if len(columns) > 1 {
		and = append(and, "whole batch")
	}
	currency := ", " + string(p.Book.Currency)
	out := []costbook.Table{{Title: "Cost of one piece" + currency, Columns: and, Lines: p.cost()}}
	for _, c := range p.Book.Channels {
		restOn := make([]string, len(p.Variants))
		for i, v := range p.Variants {
			if at := priceIn(v, c.ID); at >= 0 && v.Prices[at].Added != graph.None {
				restOn[i] = v.Prices[at].Def.RestsOn.Words()
			}
		}
		whole := estimate.ChannelTotals{Channel: c.ID, Proceeds: graph.None, Profit: graph.None, Margin: graph.None}
		if at := slices.IndexFunc(p.Totals.Channels, func(t estimate.ChannelTotals) bool { return t.Channel == c.ID }); at >= 0 {
			whole = p.Totals.Channels[at]
		}
		out = append(out, costbook.Table{Title: "Price, " + c.Name + currency, Columns: and, Lines: p.price(whole), Notes: RestsOnNotes(columns, restOn)})
	}
	if len(p.Landed) > 0 {
		out = append(out, p.landed(columns))
	}
	return out
}

// line has a figure of every variant, and one of the whole batch.
func (p firstPage) line(label string, of func(estimate.Variant) graph.ID, whole ...graph.ID) costbook.Line {
	l := costbook.Line{Label: label}
	for _, v := range p.Variants {
		l.Figures = append(l.Figures, of(v))
	}
	l.Figures = append(l.Figures, whole...)
	return l
}

func (p firstPage) cost() []costbook.Line {
	out := []costbook.Line{p.line("pieces in the batch", func(v estimate.Variant) graph.ID { return v.Quantity }, p.Totals.Quantity)}
	kinds := func(g estimate.Group) {
		for _, k := range g.Kinds() {
			out = append(out, p.line(k.Label(), func(v estimate.Variant) graph.ID { return v.Kinds[k] }))
		}
	}
	kinds(estimate.MaterialCosts)
	out = append(out, p.line("material", func(v estimate.Variant) graph.ID { return v.Material }).Sum())
	kinds(estimate.MakingCosts)
	out = append(out, p.line("making", func(v estimate.Variant) graph.ID { return v.Making }).Sum())
	kinds(estimate.SpecialCosts) // one, its own sum
	return append(out,
		p.line("cost of production", func(v estimate.Variant) graph.ID { return v.Production }).Sum(),
		p.line("administration", func(v estimate.Variant) graph.ID { return v.Administration }),
		p.line("selling", func(v estimate.Variant) graph.ID { return v.Selling }),
		p.line("special direct selling cost", func(v estimate.Variant) graph.ID { return v.SpecialSelling }),
		p.line("full cost", func(v estimate.Variant) graph.ID { return v.Full }).Sum(),
		p.line("full cost of all pieces", func(v estimate.Variant) graph.ID { return v.BatchFull }, p.Totals.Full))
}

// RestsOnLabel names the full cost that a price rests on where it is not the likely one.
const RestsOnLabel = "full cost the price rests on"

// RestsOnNotes say on a cost workbook what the prices of some goods rest on, each in
// words that are empty for the likely cost. The workbook holds what was drawn.
func RestsOnNotes(names, words []string) []string {
	var out []string
	for i, w := range words {
		if w == "" || slices.Contains(words[:i], w) {
			continue
		}
		of := names[i]
		for j := i + 1; j < len(words); j++ {
			if words[j] == w {
				of += ", " + names[j]
			}
		}
		out = append(out, of+": the price rests on the "+w+". What the draws add was drawn with the inputs as they were and does not follow them; where one is edited, a check says to draw again.")
	}
	return out
}

// priceIn is the place of the price of a variant in a channel; -1 without one.
func priceIn(v estimate.Variant, channel bom.ID) int {
	return slices.IndexFunc(v.Prices, func(c estimate.ChannelPrice) bool { return c.Channel == channel })
}

// price is what a piece and the batch earn in a channel.
func (p firstPage) price(all estimate.ChannelTotals) []costbook.Line {
	line := func(label string, of func(estimate.ChannelPrice) graph.ID, whole ...graph.ID) costbook.Line {
		return p.line(label, func(v estimate.Variant) graph.ID {
			if at := priceIn(v, all.Channel); at >= 0 {
				return of(v.Prices[at])
			}
			return graph.None
		}, whole...)
	}
	margin := line("margin: profit ÷ what is left", func(c estimate.ChannelPrice) graph.ID { return c.Margin }, all.Margin)
	margin.Share = true
	return []costbook.Line{
		line("price asked, with tax", func(c estimate.ChannelPrice) graph.ID { return c.Shelf }).Sum(),
		line("price asked without tax", func(c estimate.ChannelPrice) graph.ID { return c.ShelfNet }),
		line("left after tax, fees and discounts", func(c estimate.ChannelPrice) graph.ID { return c.Proceeds }),
		line(RestsOnLabel, func(c estimate.ChannelPrice) graph.ID {
			if c.Added == graph.None {
				return graph.None
			}
			return c.Cost
		}),
		line("profit", func(c estimate.ChannelPrice) graph.ID { return c.Profit }),
		margin,
		line("left of all pieces, if all are sold here", func(c estimate.ChannelPrice) graph.ID { return c.BatchProceeds }, all.Proceeds),
		line("profit of all pieces", func(c estimate.ChannelPrice) graph.ID { return c.BatchProfit }, all.Profit),
	}
}

// landed has two lines of each place, one a way of selling, and a column of each
// variant and basket.
func (p firstPage) landed(columns []string) costbook.Table {
	t := costbook.Table{Title: "Landed price, all that the buyer pays", Columns: columns}
	var consigned []string
	for _, v := range p.Variants {
		consigned = append(consigned, v.Line.Name())
	}
	for i, l := range p.Landed {
		if i == 0 || l.Place != p.Landed[i-1].Place {
			t.Lines = append(t.Lines, costbook.Line{Label: l.Place + ", buyer clears, " + string(l.Currency)}, costbook.Line{Label: l.Place + ", all paid, " + string(l.Currency)})
		}
		at := slices.Index(consigned, l.Consignment)
		if at < 0 {
			at, consigned, t.Columns = len(consigned), append(consigned, l.Consignment), append(t.Columns, l.Consignment)
		}
		for j, id := range []graph.ID{l.BuyerClears.Total, l.AllPaid.Total} {
			line := &t.Lines[len(t.Lines)-2+j]
			line.Figures = append(line.Figures, slices.Repeat([]graph.ID{graph.None}, max(0, at+1-len(line.Figures)))...)
			line.Figures[at] = id
		}
		for _, m := range l.Missing {
			t.Notes = append(t.Notes, l.Consignment+" to "+l.Place+" has no landed price: "+m.Text())
		}
	}
	t.Notes = append(t.Notes, "Of one piece or basket. Buyer clears: duty, tax and clearance are paid beside the price. All paid: they are in it.")
	return t
}
