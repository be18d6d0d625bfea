package promise

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/workbook"
	"kerfbook/costing/papers/costbook"
	"kerfbook/costing/papers/document"
	"kerfbook/costing/papers/quote"
	"kerfbook/costing/papers/show"
	"kerfbook/costing/papers/table"
)

// Media types of files.
const (
	pdfType  = "application/pdf"
	csvType  = "text/csv; charset=utf-8; header=present"
	xlsxType = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
)

// Format is one form a quote is written in.
type Format struct {
	name, media string
	// shop is for the shop alone: it tells what the goods cost.
	shop  bool
	write func(w io.Writer, d Quote, v show.QuoteView) error
}

var formats = []Format{
	{name: "pdf", media: pdfType, write: func(w io.Writer, d Quote, v show.QuoteView) error {
		return document.Write(w, d.Document, v, document.A4)
	}},
	{name: "letter.pdf", media: pdfType, write: func(w io.Writer, d Quote, v show.QuoteView) error {
		return document.Write(w, d.Document, v, document.Letter)
	}},
	{name: "csv", media: csvType, write: func(w io.Writer, _ Quote, v show.QuoteView) error {
		return table.WriteQuoteCSV(w, v, table.Spreadsheet)
	}},
	{name: "semicolon.csv", media: csvType, write: func(w io.Writer, _ Quote, v show.QuoteView) error {
		return table.WriteQuoteCSV(w, v, table.Spreadsheet|table.Semicolon|table.DecimalComma)
	}},
	{name: "data.csv", media: csvType, write: func(w io.Writer, _ Quote, v show.QuoteView) error {
		return table.WriteQuoteCSV(w, v, table.Data)
	}},
	{name: "xlsx", media: xlsxType, write: func(w io.Writer, d Quote, v show.QuoteView) error {
		return table.WriteQuoteWorkbook(w, d.Document, v)
	}},
	{name: "cost.xlsx", media: xlsxType, shop: true, write: writeCosts},
}

// Formats lists the forms a quote is written in.
func Formats() []string {
	var out []string
	for _, f := range formats {
		out = append(out, f.name)
	}
	return out
}

// FormatOf finds a form by its name. The formats pdf, letter.pdf, csv,
// semicolon.csv, data.csv and xlsx are for the customer; cost.xlsx holds the whole calculation and is for the
// shop.
func FormatOf(name string) (Format, error) {
	at := slices.IndexFunc(formats, func(f Format) bool { return f.name == name })
	if at < 0 {
		return Format{}, answer.Errorf(answer.NotFound, "a quote is not written as %q; there are %s", bom.Shorten(name), strings.Join(Formats(), ", "))
	}
	return formats[at], nil
}

// Internal reports whether a format is for the shop alone.
func (f Format) Internal() bool { return f.shop }

// Write writes a quote as a file, from what is stored with it alone. That it has
// expired is not said in a file, which names its last day, so that the same revision
// gives the same bytes on any day.
func (f Format) Write(d Quote) (data []byte, name, mediaType string, err error) {
	if d.State == quote.Expired {
		d.State = quote.Issued
	}
	var out bytes.Buffer
	if err := f.write(&out, d, d.View()); err != nil {
		return nil, "", "", answer.Unexpected(err)
	}
	return out.Bytes(), fileName(d, f), f.media, nil
}

func fileName(d Quote, f Format) string {
	name := "quote-" + d.Number
	if d.Revision > 1 {
		name += fmt.Sprintf("-r%d", d.Revision)
	}
	if f.shop {
		return name + "-internal-" + f.name
	}
	return name + "." + f.name
}

// writeCosts writes the stored graph as the shop's cost workbook.
func writeCosts(w io.Writer, d Quote, _ show.QuoteView) error {
	g, values, err := d.Computed()
	if err != nil {
		return err
	}
	tables := firstPage(d, g)
	model, err := workbook.Build(g, values, costbook.Shown(tables)...)
	if err != nil {
		return err
	}
	return costbook.Write(w, model, costbook.Meta{
		Title: "Calculation of quote " + d.Number, Subject: fmt.Sprintf("Revision %d, priced with the rates of %s", d.Revision, d.Inputs.Day),
		Author: d.Seller.Name, Day: d.IssuedOn, Tables: tables, Cautions: answer.Cautions(), Share: answer.IsShareRow,
	})
}

// firstPage shows what the document says, and what a piece of each line costs. An
// older document may lack figures.
func firstPage(d Quote, g *graph.Graph) []costbook.Table {
	find := func(key string) graph.ID {
		if id, ok := g.Find(key); ok {
			return id
		}
		return graph.None
	}
	goods := costbook.Table{Title: "Goods, " + d.Currency, Lines: []costbook.Line{
		{Label: "pieces"}, {Label: "price of one piece"}, {Label: "full cost of one piece"}, {Label: answer.RestsOnLabel}, costbook.Line{Label: "amount"}.Sum()}}
	var restOn []string
	for _, l := range d.Lines {
		restOn = append(restOn, l.RestsOn)
		goods.Columns = append(goods.Columns, l.Name)
		for i, key := range []string{l.Quantity.Key, l.Price.Key, "variant/" + l.Trim + "/each/full", "variant/" + l.Trim + "/price/" + cmp.Or(d.Channel, estimate.NoChannel) + "/cost", l.Net.Key} {
			goods.Lines[i].Figures = append(goods.Lines[i].Figures, find(key))
		}
	}
	goods.Notes = answer.RestsOnNotes(goods.Columns, restOn)
	sums := costbook.Table{Title: "Sums", Columns: []string{"amount"}}
	t, settled := d.Totals, "destination/"+d.Destination+"/_quote/buyer-clears/"
	if find(settled+"total") == graph.None {
		settled = "destination/" + d.Destination + "/_quote/at-place/" // its name of before
	}
	for _, key := range []string{t.Goods.Key, t.Discount.Key, t.GoodsNet.Key, t.Delivery.Key, t.Duty.Key, t.Charges.Key, t.Clearance.Key, t.Net.Key, t.Tax.Key,
		t.Total.Key, settled + "kept-book", settled + "profit", settled + "margin"} {
		sums.Lines = append(sums.Lines, costbook.Line{Share: strings.HasSuffix(key, "/margin"), Figures: []graph.ID{find(key)}})
	}
	return []costbook.Table{goods, sums}
}
