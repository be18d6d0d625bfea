package trade

import (
	"kerfbook/api/answer"
	"kerfbook/costing/book"
	"kerfbook/costing/graph"
	"kerfbook/web/chart"
	"kerfbook/web/frame"
)

// landedBody shows what one trim costs the buyer in every destination.
type landedBody struct {
	Choices  []frame.Link // the trims, and the baskets
	Name     string
	Quantity frame.Fig
	Fault    string
	RestOn   []string // what prices rest on that do not rest on the likely cost
	In       string   // currency of the book
	Places   []landedPlace
	Findings []frame.FindingLine
}

// landedPlace is one destination.
type landedPlace struct {
	ID, Name, Currency string
	Age                int // days since the oldest price a figure of the line rests on ran out
	Chart              chart.Stack
	Line               []frame.Fig       // the line of the overview
	Rows               []frame.FigureRow // buyer clears and all paid side by side
	Common             []frame.FigureRow // what both ways have in common
	Unverified         []graph.Source
	Missing            []gapLine // why it has no price
}

// gapLine is what the book lacks for a price, with the address where it is entered.
type gapLine struct{ Message, Href string }

// choice is a consignment that can be looked at.
type choice struct {
	id, name string
	quantity answer.Figure
	landed   []answer.LandedPrice
	batch    frame.Batch
}

// landed shows the landed prices of a trim or basket.
func landed(c *frame.Call) error {
	p := c.Page("landed", "Landed prices", nil)
	p.Problems = c.Faults
	body := landedBody{In: string(c.Book.Currency)}
	p.Body = &body
	if !c.Faults.Empty() {
		return c.Show("landed", p)
	}
	batches, fault, err := c.Batches()
	if err != nil {
		return err
	}
	body.Fault = fault
	all := consignments(batches)
	wanted := c.R.Form.Get("trim")
	for i, x := range all {
		current := x.id == wanted || wanted == "" && i == 0
		body.Choices = append(body.Choices, frame.Link{Label: x.name, Href: "/landed?" + c.View.Query() + "&trim=" + x.id, Current: current})
		if current {
			fillLanded(&body, x, c.Book)
			p.Batch = c.BatchLine(x.batch.Lines)
			p.Title = "Landed prices of " + x.name
		}
	}
	if len(body.Places) > 0 {
		p.Cautions = answer.Cautions()
	}
	return c.Show("landed", p)
}

// consignments lists what can be sent: each variant, then the baskets.
func consignments(batches []frame.Batch) []choice {
	var out []choice
	for _, x := range batches {
		for i, v := range x.Estimate.Variants {
			name := frame.VariantName(v.Name, x.Lines[i])
			out = append(out, choice{v.Trim, name, v.Quantity, v.Landed, x})
		}
	}
	for _, x := range batches {
		byName := map[string]int{}
		for _, l := range x.Estimate.Baskets {
			at, known := byName[l.Consignment]
			if !known {
				at = len(out)
				byName[l.Consignment] = at
				out = append(out, choice{id: l.Consignment, name: "basket " + l.Consignment, batch: x})
			}
			out[at].landed = append(out[at].landed, l)
		}
	}
	return out
}

func fillLanded(body *landedBody, x choice, b *book.Book) {
	body.Name, body.Quantity = x.name, x.batch.Link.Plain(x.quantity)
	for _, l := range x.landed {
		p := landedAt(l, x.batch, b)
		for _, gap := range l.Missing {
			p.Missing = append(p.Missing, gapLine{gap.Message, frame.EntryHref(b, gap.Path)})
		}
		body.Places = append(body.Places, p)
	}
	for i, v := range x.batch.Estimate.Variants {
		for _, ch := range v.Channels {
			if ch.RestsOn.Drawn() && (x.id == v.Trim || x.quantity.Key == "") { // a basket has no quantity of its own
				body.RestOn = append(body.RestOn, "The price of "+frame.VariantName(v.Name, x.batch.Lines[i])+" in "+string(ch.Channel)+" rests on the "+ch.RestsOn.Words()+".")
			}
		}
	}
	body.Findings = frame.FindingLines(b, x.batch.Estimate.Findings, x.batch.Sheet, x.batch.Link)
}

func landedAt(l answer.LandedPrice, x frame.Batch, b *book.Book) landedPlace {
	name := frame.PlaceName(b, l.Destination)
	p := landedPlace{ID: "to-" + frame.FieldID(l.Destination), Name: name, Currency: l.Currency, Line: overviewLine(l, x.Link)}
	for i := range p.Line {
		p.Age, p.Line[i].Age = max(p.Age, p.Line[i].Age), 0
	}
	if l.Goods.Key == "" {
		return p
	}
	p.Chart = chart.NewStack("stack-"+frame.FieldID(l.Destination), "What the buyer in "+name+" pays, in "+l.Currency,
		"Two bars: buyer clears, with charges at the door, and all paid, in the price. The table beside has the same figures.",
		pile("buyer clears", l.BuyerClears, x.Link), pile("all paid", l.AllPaid, x.Link))
	p.Rows = settlementRows(l, x.Link)
	p.Common = commonRows(l, x.Link)
	p.Unverified = unverified(x.Sheet, l.BuyerClears.Total.Key, l.AllPaid.Total.Key)
	return p
}

// pile stacks what the buyer pays; what is neither duty, tax, charge nor
// clearance is for the goods and their delivery.
func pile(label string, s answer.Settlement, link frame.Linker) chart.Pile {
	mark := func(label string, f answer.Figure) chart.Mark {
		return chart.Mark{Label: label, Text: link.Money(f).Text, Key: f.Key, Value: f.Value}
	}
	return chart.Pile{Total: mark(label, s.Total), Segments: []chart.Segment{
		{Class: "goods", Rest: true},
		{Mark: mark("duty", s.Duty), Class: "duty"},
		{Mark: mark("charges", s.Charges), Class: "rest"},
		{Mark: mark("tax", s.Tax), Class: "tax"},
		{Mark: mark("clearance", s.Clearance), Class: "clearance"},
	}}
}

func settlementRows(l answer.LandedPrice, link frame.Linker) []frame.FigureRow {
	a, d := l.BuyerClears, l.AllPaid
	money, percent := link.Money, link.Percent
	lines := []struct {
		label string
		total bool
		write func(answer.Figure) frame.Fig
		both  [2]answer.Figure
	}{
		{"paid to the seller", false, money, [2]answer.Figure{a.Price, d.Price}},
		{"duty", false, money, [2]answer.Figure{a.Duty, d.Duty}},
		{"import charges", false, money, [2]answer.Figure{a.Charges, d.Charges}},
		{"tax", false, money, [2]answer.Figure{a.Tax, d.Tax}},
		{"clearance", false, money, [2]answer.Figure{a.Clearance, d.Clearance}},
		{"paid at the door", false, money, [2]answer.Figure{a.AtDoor, d.AtDoor}},
		{"landed price", true, money, [2]answer.Figure{a.Total, d.Total}},
		{"kept by the seller", false, money, [2]answer.Figure{a.Kept, d.Kept}},
		{"profit", false, money, [2]answer.Figure{a.Profit, d.Profit}},
		{"margin", false, percent, [2]answer.Figure{a.Margin, d.Margin}},
	}
	var out []frame.FigureRow
	for _, line := range lines {
		row := frame.FigureRow{Label: line.label, Total: line.total, Cells: []frame.Fig{line.write(line.both[0]), line.write(line.both[1])}}
		if row.Cells[0].Mark() || row.Cells[1].Mark() {
			out = append(out, row.WithUnit())
		}
	}
	return out
}

// overviewLine is a destination on one line: what the buyer pays who clears, part by
// part up to the total, then what is kept, then the same with all paid.
func overviewLine(l answer.LandedPrice, link frame.Linker) []frame.Fig {
	a, d := l.BuyerClears, l.AllPaid
	var out []frame.Fig
	for _, f := range []answer.Figure{l.Goods, l.Delivery, a.Duty, a.Charges, a.Tax, a.Clearance, a.Total, a.Kept} {
		out = append(out, link.Money(f))
	}
	return append(out, link.Percent(a.Margin), link.Money(d.Total), link.Money(d.Kept), link.Percent(d.Margin))
}

func commonRows(l answer.LandedPrice, link frame.Linker) []frame.FigureRow {
	var out []frame.FigureRow
	for _, line := range []struct {
		label string
		of    answer.Figure
	}{
		{"goods without tax", l.Goods}, {"delivery charged", l.Delivery}, {"freight", l.Freight},
		{"insurance", l.Insurance}, {"customs value", l.CustomsValue},
		{"a consumer pays the reseller", l.Consumer},
	} {
		if cell := link.Money(line.of); cell.Mark() {
			out = append(out, frame.FigureRow{Label: line.label, Cells: []frame.Fig{cell}}.WithUnit())
		}
	}
	return out
}

// unverified lists what either of two figures rests on without proof.
func unverified(sheet *answer.Sheet, keys ...string) []graph.Source {
	seen := map[string]bool{}
	var out []graph.Source
	for _, key := range keys {
		for _, src := range sheet.Unverified(key) {
			if !seen[src.Where] {
				seen[src.Where] = true
				out = append(out, src)
			}
		}
	}
	return out
}
