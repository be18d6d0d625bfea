package web

import (
	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/web/chart"
)

// startBody shows trims side by side.
type startBody struct {
	Quantities []field
	Together   bool
	Day        field
	PerPiece   string // what every amount is in
	Fault      string // why a batch cannot be estimated
	Trims      []trimColumn
	Rows       []figureRow
	Channels   []channelTable
	Loads      []loadTable
	Findings   []findingLine
}

// trimColumn is one trim of the comparison.
type trimColumn struct {
	Name       string
	Quantity   fig
	Full       fig
	Choices    []choiceLine
	Chart      chart.Waterfall
	LandedHref string
	More       []link // pages that say more about the cost
}

// choiceLine is what a trim has of an option.
type choiceLine struct{ Option, Choice string }

// channelTable holds the prices of one channel.
type channelTable struct {
	ID, Name string
	Rows     []figureRow
}

// loadTable holds the times of the work centres in one batch.
type loadTable struct {
	ID, Name string
	Rows     []figureRow
}

// costed is a variant with the batch it was estimated in.
type costed struct {
	line  estimate.MixLine
	of    answer.VariantPrices
	sheet *answer.Sheet
	link  linker
	// prefix of the keys of its costs; empty stands for those of a variant.
	prefix string
}

// start shows the trims of the view side by side.
func start(c *call) error {
	body := startBody{
		Quantities: quantityFields(c.book, c.view, c), Together: c.view.Together,
		Day:      field{Name: "day", Label: "Rates and rules of the day", Value: c.typed("day", string(c.view.Day)), Error: c.faults.of("day")},
		PerPiece: "in " + string(c.book.Currency),
	}
	p := c.page("start", "Trims side by side", &body)
	p.Problems = c.faults
	if !c.faults.empty() {
		return c.show("start", p)
	}
	batches, fault, err := c.batches()
	if err != nil {
		return err
	}
	body.Fault = fault
	fillStart(&body, c.book, batches, c.view)
	if len(body.Trims) > 0 {
		p.Batch = c.batchLine(c.view.mixes()...)
		p.Cautions = answer.Cautions()
	}
	return c.show("start", p)
}

func quantityFields(b *book.Book, v view, c *call) []field {
	at := map[bom.ID]string{}
	for _, l := range v.Lines {
		at[l.Trim] = l.Quantity.Likely.String()
	}
	var out []field
	for _, p := range b.Products {
		for _, t := range p.Trims {
			name := quantityField(t.ID)
			out = append(out, field{Name: name, Label: t.Name, Suffix: "piece", Mode: "numeric",
				Value: c.typed(name, at[t.ID]), Error: c.faults.of(name)})
		}
	}
	return out
}

// fillStart lays the figures out.
func fillStart(body *startBody, b *book.Book, batches []batch, v view) {
	var all []costed
	for _, x := range batches {
		for i, variant := range x.estimate.Variants {
			all = append(all, costed{line: x.lines[i], of: variant, sheet: x.sheet, link: x.link})
		}
		body.Loads = append(body.Loads, loads(b, x))
		body.Findings = append(body.Findings, findingLines(x.estimate.Findings, x.sheet, x.link)...)
	}
	body.Findings = distinct(body.Findings)
	body.Rows = costRows(all)
	body.Channels = channelTables(b, all)
	body.Trims = trimColumns(b, all, v)
}

func trimColumns(b *book.Book, all []costed, v view) []trimColumn {
	var steps [][]chart.Step
	for _, x := range all {
		steps = append(steps, buildUp(x))
	}
	widest := chart.Widest(steps...)
	var out []trimColumn
	for i, x := range all {
		name := variantName(x.of.Name, x.line)
		out = append(out, trimColumn{
			Name: name, Quantity: x.link.plain(x.of.Quantity), Full: x.link.money(x.of.Full), Choices: choiceLines(b, x.line),
			Chart: chart.NewWaterfall("build-up-"+fieldID(x.of.Trim), "Build-up of the cost of "+name,
				"Each bar adds to the one before; dark bars are totals. The table below has the same figures.", steps[i], widest),
			LandedHref: "/landed?" + v.Query() + "&trim=" + x.of.Trim, More: moreAbout(name, v, x.line),
		})
	}
	return out
}

// moreAbout links the pages that say more about the cost of a variant.
func moreAbout(name string, v view, l estimate.MixLine) []link {
	return []link{{Label: "How sure the cost of " + name + " is", Href: lineHref("/spread", v, "", l)}, {Label: "Batch curve of " + name, Href: lineHref("/curve", v, "", l)},
		{Label: "Compare " + name + " with another", Href: lineHref("/compare", v, beforeSide, l)}}
}

// choiceLines lists what a variant has of each option.
func choiceLines(b *book.Book, l estimate.MixLine) []choiceLine {
	var out []choiceLine
	for _, p := range b.Products {
		if p.Number != l.Product {
			continue
		}
		for _, o := range p.Options {
			out = append(out, choiceLine{o.Name, choiceName(p, o, l)})
		}
	}
	return out
}
