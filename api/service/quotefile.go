package service

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/bom"
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

// quoteFormat is one form a quote is written in.
type quoteFormat struct {
	name, media string
	// shop is for the shop alone: it tells what the goods cost.
	shop  bool
	write func(w io.Writer, d QuoteDocument, v show.QuoteView) error
}

var quoteFormats = []quoteFormat{
	{name: "pdf", media: pdfType, write: func(w io.Writer, d QuoteDocument, v show.QuoteView) error {
		return document.Write(w, d.Document, v, document.A4)
	}},
	{name: "letter.pdf", media: pdfType, write: func(w io.Writer, d QuoteDocument, v show.QuoteView) error {
		return document.Write(w, d.Document, v, document.Letter)
	}},
	{name: "csv", media: csvType, write: func(w io.Writer, _ QuoteDocument, v show.QuoteView) error {
		return table.WriteQuoteCSV(w, v, table.Spreadsheet)
	}},
	{name: "data.csv", media: csvType, write: func(w io.Writer, _ QuoteDocument, v show.QuoteView) error {
		return table.WriteQuoteCSV(w, v, table.Data)
	}},
	{name: "xlsx", media: xlsxType, write: func(w io.Writer, d QuoteDocument, v show.QuoteView) error {
		return table.WriteQuoteWorkbook(w, d.Document, v)
	}},
	{name: "cost.xlsx", media: xlsxType, shop: true, write: writeQuoteCosts},
}

// QuoteFormats lists the forms a quote is written in.
func QuoteFormats() []string {
	var out []string
	for _, f := range quoteFormats {
		out = append(out, f.name)
	}
	return out
}

// QuoteFile writes a revision of a quote as a file, from what is stored with it
// alone. The formats pdf, letter.pdf, csv, data.csv and xlsx are for the
// customer; cost.xlsx holds the whole calculation and is for the shop. That a
// quote has expired is not said in a file, which names its last day, so that the
// same revision gives the same bytes on any day.
func (s *Service) QuoteFile(ctx context.Context, number string, revision int, format string) (data []byte, name, mediaType string, err error) {
	at := slices.IndexFunc(quoteFormats, func(f quoteFormat) bool { return f.name == format })
	if at < 0 {
		return nil, "", "", answer.Errorf(answer.NotFound, "a quote is not written as %q; there are %s", bom.Shorten(format), strings.Join(QuoteFormats(), ", "))
	}
	d, err := s.Quote(ctx, number, revision)
	if err != nil {
		return nil, "", "", err
	}
	if d.State == quote.Expired {
		d.State = quote.Issued
	}
	f := quoteFormats[at]
	var out bytes.Buffer
	if err := f.write(&out, d, d.View()); err != nil {
		return nil, "", "", answer.Unexpected(err)
	}
	return out.Bytes(), fileName(d, f), f.media, nil
}

func fileName(d QuoteDocument, f quoteFormat) string {
	name := "quote-" + d.Number
	if d.Revision > 1 {
		name += fmt.Sprintf("-r%d", d.Revision)
	}
	if f.shop {
		return name + "-internal-" + f.name
	}
	return name + "." + f.name
}

// writeQuoteCosts writes the stored graph as the shop's cost workbook.
func writeQuoteCosts(w io.Writer, d QuoteDocument, _ show.QuoteView) error {
	g, values, err := d.Computed()
	if err != nil {
		return err
	}
	model, err := workbook.Build(g, values, quoteHeadline(d, g))
	if err != nil {
		return err
	}
	return costbook.Write(w, model, costbook.Meta{
		Title: "Calculation of quote " + d.Number, Subject: fmt.Sprintf("Revision %d, priced with the rates of %s", d.Revision, d.Inputs.Day),
		Author: d.Seller.Name, Day: d.IssuedOn, Cautions: answer.Cautions(),
	})
}

// quoteHeadline lists the figures that are looked for first: what the document
// says, and what a piece of each line costs.
func quoteHeadline(d QuoteDocument, g *graph.Graph) []graph.ID {
	t := d.Totals
	var keys []string
	for _, l := range d.Lines {
		keys = append(keys, l.Quantity.Key, l.Price.Key, l.Net.Key, "variant/"+l.Trim+"/each/full")
	}
	for _, f := range []quote.Figure{t.Goods, t.Discount, t.GoodsNet, t.Delivery, t.Duty, t.Charges, t.Clearance, t.Net, t.Tax, t.Total} {
		keys = append(keys, f.Key)
	}
	place := "destination/" + d.Destination + "/_quote/"
	keys = append(keys, place+"at-place/kept-book", place+"at-place/profit", place+"at-place/margin")
	var ids []graph.ID
	for _, k := range keys {
		if id, ok := g.Find(k); ok {
			ids = append(ids, id)
		}
	}
	return answer.Compact(ids)
}
