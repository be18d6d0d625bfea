package web

import (
	"strings"

	"kerfbook/api/answer"
	"kerfbook/costing/book"
	"kerfbook/costing/graph/proof"
	"kerfbook/costing/text"
	"kerfbook/web/chart"
)

// landedBody shows what one trim costs the buyer in every destination.
type landedBody struct {
	Choices  []link // the trims, and the baskets
	Name     string
	Quantity fig
	Fault    string
	In       string // currency of the book
	Places   []landedPlace
	Findings []findingLine
}

// landedPlace is one destination.
type landedPlace struct {
	ID, Name, Currency string
	Age                int // days since the oldest price a figure of the line rests on ran out
	Chart              chart.Stack
	Line               []fig       // the line of the overview
	Rows               []figureRow // at place and duty paid side by side
	Common             []figureRow // what both ways have in common
	Unverified         []proof.Source
	Missing            []gapLine // why a price is blank
}

// gapLine is what the book lacks for a price, with the address of the field where
// that is one of a product.
type gapLine struct{ Message, Href string }

// chosen is a consignment that can be looked at.
type chosen struct {
	id, name string
	quantity answer.Figure
	landed   []answer.LandedPrice
	batch    batch
}

// landed shows the landed prices of a trim or basket.
func landed(c *call) error {
	p := c.page("landed", "Landed prices", nil)
	p.Problems = c.faults
	body := landedBody{In: string(c.book.Currency)}
	p.Body = &body
	if !c.faults.empty() {
		return c.show("landed", p)
	}
	batches, fault, err := c.batches()
	if err != nil {
		return err
	}
	body.Fault = fault
	all := consignments(batches)
	wanted := c.r.Form.Get("trim")
	for i, x := range all {
		current := x.id == wanted || wanted == "" && i == 0
		body.Choices = append(body.Choices, link{x.name, "/landed?" + c.view.Query() + "&trim=" + x.id, current})
		if current {
			fillLanded(&body, x, c.book)
			p.Batch = c.batchLine(x.batch.lines)
			p.Title = "Landed prices of " + x.name
		}
	}
	if len(body.Places) > 0 {
		p.Cautions = answer.Cautions()
	}
	return c.show("landed", p)
}

// consignments lists what can be sent: each variant, then the baskets.
func consignments(batches []batch) []chosen {
	var out []chosen
	for _, x := range batches {
		for i, v := range x.estimate.Variants {
			name := variantName(v.Name, x.lines[i])
			out = append(out, chosen{v.Trim, name, v.Quantity, v.Landed, x})
		}
	}
	for _, x := range batches {
		byName := map[string]int{}
		for _, l := range x.estimate.Baskets {
			at, known := byName[l.Consignment]
			if !known {
				at = len(out)
				byName[l.Consignment] = at
				out = append(out, chosen{id: l.Consignment, name: "basket " + l.Consignment, batch: x})
			}
			out[at].landed = append(out[at].landed, l)
		}
	}
	return out
}

func fillLanded(body *landedBody, x chosen, b *book.Book) {
	body.Name, body.Quantity = x.name, x.batch.link.plain(x.quantity)
	names := placeNames(b)
	for _, l := range x.landed {
		p := landedAt(l, x.batch, names)
		for _, gap := range l.Missing {
			p.Missing = append(p.Missing, gapLine{gap.Message, productField(b, gap.Path)})
		}
		body.Places = append(body.Places, p)
	}
	body.Findings = findingLines(x.batch.estimate.Findings, x.batch.sheet, x.batch.link)
}

func landedAt(l answer.LandedPrice, x batch, names map[string]string) landedPlace {
	name := names[l.Destination]
	if name == "" {
		name = l.Destination
	}
	p := landedPlace{ID: "to-" + fieldID(l.Destination), Name: name, Currency: l.Currency, Line: overviewLine(l, x.link)}
	for i := range p.Line {
		p.Age, p.Line[i].Age = max(p.Age, p.Line[i].Age), 0
	}
	if l.Goods.Key == "" {
		return p
	}
	p.Chart = chart.NewStack("stack-"+fieldID(l.Destination), "What the buyer in "+name+" pays, in "+l.Currency,
		"Two bars: at place, with charges at the door, and duty paid in the price. The table beside has the same figures.",
		pile("at place", l.AtPlace, x.link), pile("duty paid", l.DutyPaid, x.link))
	p.Rows = settlementRows(l, x.link)
	p.Common = commonRows(l, x.link)
	p.Unverified = unverified(x.sheet, l.AtPlace.Total.Key, l.DutyPaid.Total.Key)
	return p
}

// productField is the address of the field of a product with a place in the book;
// empty for other places.
func productField(b *book.Book, path string) string {
	for i, p := range b.Products {
		if field, ok := strings.CutPrefix(path, text.Index("products", i)+"."); ok {
			return recordHref("products", string(p.Number)) + "#" + fieldID(field)
		}
	}
	return ""
}

// pile stacks what the buyer pays; what is neither duty, tax, charge nor
// clearance is for the goods and their delivery.
func pile(label string, s answer.Settlement, link linker) chart.Pile {
	mark := func(label string, f answer.Figure) chart.Mark {
		return chart.Mark{Label: label, Text: link.money(f).Text, Key: f.Key, Value: f.Value}
	}
	return chart.Pile{Total: mark(label, s.Total), Segments: []chart.Segment{
		{Class: "goods", Rest: true},
		{Mark: mark("duty", s.Duty), Class: "duty"},
		{Mark: mark("charges", s.Charges), Class: "rest"},
		{Mark: mark("tax", s.Tax), Class: "tax"},
		{Mark: mark("clearance", s.Clearance), Class: "clearance"},
	}}
}

func settlementRows(l answer.LandedPrice, link linker) []figureRow {
	a, d := l.AtPlace, l.DutyPaid
	money, percent := link.money, link.percent
	lines := []struct {
		label string
		total bool
		write func(answer.Figure) fig
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
	var out []figureRow
	for _, line := range lines {
		row := figureRow{Label: line.label, Total: line.total, Cells: []fig{line.write(line.both[0]), line.write(line.both[1])}}
		if row.Cells[0].Mark() || row.Cells[1].Mark() {
			out = append(out, row.withUnit())
		}
	}
	return out
}

// overviewLine is a destination on one line: what the buyer pays at place, part by
// part up to the total, then what is kept, then the same duty paid.
func overviewLine(l answer.LandedPrice, link linker) []fig {
	a, d := l.AtPlace, l.DutyPaid
	var out []fig
	for _, f := range []answer.Figure{l.Goods, l.Delivery, a.Duty, a.Charges, a.Tax, a.Clearance, a.Total, a.Kept} {
		out = append(out, link.money(f))
	}
	return append(out, link.percent(a.Margin), link.money(d.Total), link.money(d.Kept), link.percent(d.Margin))
}

func commonRows(l answer.LandedPrice, link linker) []figureRow {
	var out []figureRow
	for _, line := range []struct {
		label string
		of    answer.Figure
	}{
		{"goods without tax", l.Goods}, {"delivery charged", l.Delivery}, {"freight", l.Freight},
		{"insurance", l.Insurance}, {"customs value", l.CustomsValue},
		{"a consumer pays the reseller", l.Consumer},
	} {
		if cell := link.money(line.of); cell.Mark() {
			out = append(out, figureRow{Label: line.label, Cells: []fig{cell}}.withUnit())
		}
	}
	return out
}

// unverified lists what either of two figures rests on without proof.
func unverified(sheet *answer.Sheet, keys ...string) []proof.Source {
	seen := map[string]bool{}
	var out []proof.Source
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
