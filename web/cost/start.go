package cost

import (
	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/web/chart"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// startBody shows trims side by side.
type startBody struct {
	Quantities []frame.Field
	Together   bool
	Day        frame.Field
	PerPiece   string // what every amount is in
	Fault      string // why a batch cannot be estimated
	Trims      []trimColumn
	Rows       []frame.FigureRow
	Channels   []channelTable
	Loads      []loadTable
	Findings   []frame.FindingLine
	NotCounted *frame.NotCounted
	Waiting    []waitingLine
	Changed    []changedLine
	Sizes      *sizeTable
}

// trimColumn is one trim of the comparison.
type trimColumn struct {
	Name       string
	Quantity   frame.Fig
	Full       frame.Fig
	Choices    []choiceLine
	Chart      chart.Waterfall
	LandedHref string
	More       []frame.Link // pages that say more about the cost
}

// choiceLine is what a trim has of an option.
type choiceLine struct{ Option, Choice string }

// channelTable holds the prices of one channel.
type channelTable struct {
	ID, Name string
	RestsOn  []restsOn
	Rows     []frame.FigureRow
}

// loadTable holds the times of the work centres in one batch.
type loadTable struct {
	ID, Name string
	Rows     []frame.FigureRow
}

// costColumn is a variant with the batch it was estimated in.
type costColumn struct {
	line  estimate.MixLine
	of    answer.VariantPrices
	sheet *answer.Sheet
	link  frame.Linker
	// prefix of the keys of its costs; empty stands for those of a variant.
	prefix string
}

// start shows the trims of the view side by side.
func start(c *frame.Call) error {
	body := startBody{
		Quantities: quantityFields(c.Book, c.View, c), Together: c.View.Together,
		Day:      frame.Field{Name: "day", Label: "Rates and rules of the day", Value: c.Typed("day", c.Style.ShowDay(c.View.Day)), Error: c.Faults.Of("day")},
		PerPiece: "in " + string(c.Book.Currency),
	}
	p := c.Page("start", "Today", &body)
	p.Problems = c.Faults
	if !c.Faults.Empty() {
		return c.Show("start", p)
	}
	batches, fault, err := c.Batches()
	if err != nil {
		return err
	}
	body.Fault = fault
	fillStart(&body, c.Book, batches, c.View)
	if len(body.Trims) > 0 && fault == "" {
		if body.Waiting, err = waiting(c, &body, batches); err != nil {
			return err
		}
		if body.Changed, err = changed(c); err != nil {
			return err
		}
		if body.Sizes, err = sizes(c); err != nil {
			return err
		}
	}
	if len(body.Trims) > 0 {
		p.Batch = c.BatchLine(c.View.Mixes()...)
		p.Cautions = answer.Cautions()
	}
	return c.Show("start", p)
}

func quantityFields(b *book.Book, v frame.View, c *frame.Call) []frame.Field {
	at := map[bom.ID]string{}
	for _, l := range v.Lines {
		at[l.Trim] = l.Quantity.Likely.String()
	}
	var out []frame.Field
	for _, p := range b.Products {
		for _, t := range p.Trims {
			name := frame.QuantityField(t.ID)
			out = append(out, frame.Field{Name: name, Label: t.Name, Suffix: "piece", Mode: "numeric",
				Value: c.Typed(name, at[t.ID]), Error: c.Faults.Of(name)})
		}
	}
	return out
}

// fillStart lays the figures out.
func fillStart(body *startBody, b *book.Book, batches []frame.Batch, v frame.View) {
	var omitted []answer.NotCounted
	var all []costColumn
	for _, x := range batches {
		for i, variant := range x.Estimate.Variants {
			all = append(all, costColumn{line: x.Lines[i], of: variant, sheet: x.Sheet, link: x.Link})
		}
		body.Loads = append(body.Loads, loads(b, x))
		body.Findings = append(body.Findings, frame.FindingLines(b, x.Estimate.Findings, x.Sheet, x.Link)...)
		omitted = append(omitted, x.Estimate.NotCounted...)
	}
	body.NotCounted = frame.NotCountedOf(omitted)
	body.Findings = frame.Distinct(body.Findings)
	body.Rows = costRows(all)
	body.Channels = channelTables(b, all)
	body.Trims = trimColumns(b, all, v)
}

func trimColumns(b *book.Book, all []costColumn, v frame.View) []trimColumn {
	var steps [][]chart.Step
	for _, x := range all {
		steps = append(steps, buildUp(x))
	}
	widest := chart.Widest(steps...)
	var out []trimColumn
	for i, x := range all {
		name := frame.VariantName(x.of.Name, x.line)
		out = append(out, trimColumn{
			Name: name, Quantity: x.link.Plain(x.of.Quantity), Full: x.link.Money(x.of.Full), Choices: choiceLines(b, x.line),
			Chart: chart.NewWaterfall("build-up-"+frame.FieldID(x.of.Trim), "Build-up of the cost of "+name,
				"Each bar adds to the one before; dark bars are totals. The table below has the same figures.", steps[i], widest),
			LandedHref: "/landed?" + v.Query() + "&trim=" + x.of.Trim, More: moreAbout(name, v, x.line),
		})
	}
	return out
}

// moreAbout links the pages that say more about the cost of a variant; without a name
// in few words, beside it.
func moreAbout(name string, v frame.View, l estimate.MixLine) []frame.Link {
	if name == "" {
		return []frame.Link{{Label: "how sure", Href: form.LineHref("/spread", v, "", l)}, {Label: "how many", Href: form.LineHref("/curve", v, "", l)}, {Label: "landed", Href: "/landed?" + v.Query() + "&trim=" + l.Name()}}
	}
	return []frame.Link{{Label: "How sure the cost of " + name + " is", Href: form.LineHref("/spread", v, "", l)}, {Label: "Batch curve of " + name, Href: form.LineHref("/curve", v, "", l)},
		{Label: "Compare " + name + " with another", Href: form.LineHref("/compare", v, form.BeforeSide, l)}}
}

// choiceLines lists what a variant has of each option.
func choiceLines(b *book.Book, l estimate.MixLine) []choiceLine {
	var out []choiceLine
	for _, p := range b.Products {
		if p.Number != l.Product {
			continue
		}
		for _, o := range p.Options {
			out = append(out, choiceLine{o.Name, frame.ChoiceName(p, o, l)})
		}
	}
	return out
}
