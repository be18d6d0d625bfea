package cost

import (
	"kerfbook/api/answer"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/web/chart"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// trimsBody shows trims side by side.
type trimsBody struct {
	batchForm
	PerPiece string // what every amount is in
	Fault    string // why a batch cannot be estimated
	Pages    []frame.Link
	Trims    []trimColumn
	Rows     []frame.FigureRow
	Channels []channelTable
	Loads    []loadTable
	Findings []frame.FindingLine
	Guessed  []frame.Link // the bands of parts that rest on a first guess
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

// trims shows the trims of the view side by side: what builds their cost up, and the
// prices it leads to.
func trims(c *frame.Call) error {
	body := trimsBody{batchForm: batchFormOf(c, "/trims"), PerPiece: "in " + string(c.Book.Currency), Pages: form.CostPages(c, form.Selection{Lines: c.View.Lines}, "trims")}
	p := c.Page("trims", "Trims side by side", &body)
	p.Problems = c.Faults
	if !c.Faults.Empty() {
		return c.Show("trims", p)
	}
	batches, fault, err := c.Batches()
	if err != nil {
		return err
	}
	body.Fault, body.Findings = fault, findingsOf(c.Book, batches)
	var all []costColumn
	for _, x := range batches {
		for i, variant := range x.Estimate.Variants {
			all = append(all, costColumn{line: x.Lines[i], of: variant, sheet: x.Sheet, link: x.Link})
		}
		body.Loads = append(body.Loads, loads(c.Book, x))
	}
	body.Guessed = guessed(c.Book, batches)
	body.Rows, body.Channels, body.Trims = costRows(all), channelTables(c.Book, all), trimColumns(c.Book, all, c.View)
	if len(all) > 0 {
		p.Batch, p.Cautions = c.BatchLine(c.View.Mixes()...), answer.Cautions()
	}
	return c.Show("trims", p)
}

// findingsOf lists what is to be looked at in batches, each once.
func findingsOf(b *book.Book, batches []frame.Batch) []frame.FindingLine {
	var out []frame.FindingLine
	for _, x := range batches {
		out = append(out, frame.FindingLines(b, x.Estimate.Findings, x.Sheet, x.Link)...)
	}
	return frame.Distinct(out)
}

// guessed links the bands of the parts in batches that rest on a first guess.
func guessed(b *book.Book, batches []frame.Batch) []frame.Link {
	rests := map[string]bool{}
	for _, x := range batches {
		for _, f := range x.Estimate.Findings {
			rests[f.Key] = true
		}
	}
	var out []frame.Link
	for _, p := range b.Parts {
		if rests["part/"+string(p.Number)+"/"+estimate.Guessed] {
			out = append(out, frame.Link{Label: p.Name, Href: "/parts/" + string(p.Number) + "/first"})
		}
	}
	return out
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
