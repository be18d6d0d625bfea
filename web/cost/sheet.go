package cost

import (
	"cmp"

	"kerfbook/api/answer"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/costing/trade"
	"kerfbook/web/chart"
	"kerfbook/web/frame"
)

// costLine is one line of the cost sheet of a variant: the last element of its
// key, and how the chart draws it.
type costLine struct {
	key, label, class string
	total             bool // a subtotal that the chart draws too
	tableOnly         bool
}

// costSheet lists the lines in the order costs are built up.
func costSheet() []costLine {
	var out []costLine
	for _, g := range estimate.Groups() {
		for _, k := range g.Kinds() {
			line := costLine{key: k.Key(), label: k.Label(), class: g.Key()}
			if k.Credit() {
				line.class = "credit"
			}
			out = append(out, line)
		}
		if g != estimate.SpecialCosts {
			out = append(out, costLine{key: g.Key(), label: g.Key(), total: true, tableOnly: true})
		}
	}
	return append(out,
		costLine{key: "production", label: "cost of production", class: "sum", total: true},
		costLine{key: "administration", label: "administration", class: "share"},
		costLine{key: "selling", label: "selling", class: "share"},
		costLine{key: "special-selling", label: "special direct selling cost", class: "share"},
		costLine{key: "full", label: "full cost", class: "sum", total: true},
	)
}

func (x costColumn) each(key string) answer.Figure {
	prefix := cmp.Or(x.prefix, "variant/")
	return x.sheet.Figure(prefix + x.of.Trim + "/each/" + key)
}

// buildUp gives the bars of the cost of a variant.
func buildUp(x costColumn) []chart.Step {
	var out []chart.Step
	for _, l := range costSheet() {
		f := x.each(l.key)
		if f.Key == "" || l.tableOnly {
			continue
		}
		shown := x.link.Money(f)
		out = append(out, chart.Step{Mark: chart.Mark{Label: l.label, Text: shown.Text, Key: f.Key, Value: f.Value}, Total: l.total, Class: l.class, Least: f.AtLeast})
	}
	return out
}

// costRows are the same lines as a table; a line that no variant has is left
// out.
func costRows(all []costColumn) []frame.FigureRow {
	var out []frame.FigureRow
	for _, l := range costSheet() {
		row := frame.FigureRow{Label: l.label, Total: l.total}
		found := false
		for _, x := range all {
			cell := x.link.Money(x.each(l.key))
			found = found || cell.Mark()
			row.Cells = append(row.Cells, cell)
		}
		if found {
			out = append(out, row)
		}
	}
	return out
}

// channelTables lists the prices of the variants, one table for each channel that
// any of them has a price in.
func channelTables(b *book.Book, all []costColumn) []channelTable {
	var out []channelTable
	for _, c := range b.Channels {
		columns, found := pricesIn(c, all)
		if found {
			out = append(out, channelTable{ID: "channel-" + frame.FieldID(string(c.ID)), Name: "Prices in the channel " + c.Name, RestsOn: restsOnAll(columns), Rows: priceRows(columns)})
		}
	}
	return out
}

// channelPrices is a variant with its prices in one channel, empty if it has none.
type channelPrices struct {
	costColumn
	price answer.ChannelPrices
}

func pricesIn(c trade.Channel, all []costColumn) (out []channelPrices, found bool) {
	for _, x := range all {
		column := channelPrices{costColumn: x}
		for _, p := range x.of.Channels {
			if p.Channel == c.ID {
				column.price, found = p, true
			}
		}
		out = append(out, column)
	}
	return out, found
}

func priceRows(columns []channelPrices) []frame.FigureRow {
	money, percent := frame.Linker.Money, frame.Linker.Percent
	lines := []struct {
		label string
		total bool
		write func(frame.Linker, answer.Figure) frame.Fig
		of    func(answer.ChannelPrices) answer.Figure
	}{
		{"price asked", true, money, func(p answer.ChannelPrices) answer.Figure { return p.Shelf }},
		{"price without tax", false, money, func(p answer.ChannelPrices) answer.Figure { return p.ShelfNet }},
		{"proceeds", false, money, func(p answer.ChannelPrices) answer.Figure { return p.Proceeds }},
		{answer.RestsOnLabel, false, money, func(p answer.ChannelPrices) answer.Figure { return p.RestsOnCost }},
		{"cost the price allows", false, money, func(p answer.ChannelPrices) answer.Figure { return p.TargetCost }},
		{"profit", true, money, func(p answer.ChannelPrices) answer.Figure { return p.Profit }},
		{"margin", false, percent, func(p answer.ChannelPrices) answer.Figure { return p.Margin }},
		{"markup", false, percent, func(p answer.ChannelPrices) answer.Figure { return p.Markup }},
	}
	var out []frame.FigureRow
	for _, l := range lines {
		row := frame.FigureRow{Label: l.label, Total: l.total}
		found := false
		for _, c := range columns {
			cell := l.write(c.link, l.of(c.price))
			found = found || cell.Mark()
			row.Cells = append(row.Cells, cell)
		}
		if found {
			out = append(out, row)
		}
	}
	return out
}

// loads lists how long a batch occupies each work centre.
func loads(b *book.Book, x frame.Batch) loadTable {
	t := loadTable{ID: "load", Name: "the batch"}
	if len(x.Estimate.Variants) == 1 {
		v := x.Estimate.Variants[0]
		t = loadTable{ID: "load-" + frame.FieldID(v.Trim), Name: "the batch of " + v.Name}
	}
	for _, w := range b.WorkCentres {
		if f := x.Sheet.Figure("work-centre/" + string(w.ID) + "/occupied"); f.Key != "" {
			t.Rows = append(t.Rows, frame.FigureRow{Label: w.Name, Cells: []frame.Fig{x.Link.Places(f, 1)}})
		}
	}
	return t
}
