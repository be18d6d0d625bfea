package table

import (
	"io"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/costing/papers/quote"
	"kerfbook/costing/papers/show"
)

// quoteHead are the columns of a quote as a table. The first says what a row is:
// quote, line, sum, arrival, exchange, note or caution.
var quoteHead = []string{"record", "line", "label", "text", "pieces", "price_per_piece", "amount", "unit", "figure_key"}

// WriteQuoteCSV writes the customer's document as one table.
func WriteQuoteCSV(w io.Writer, v show.QuoteView, profile Profile) error {
	rows := [][]Cell{textRow(quoteHead...)}
	add := func(record, label, text string) { rows = append(rows, textRow(record, "", label, text)) }
	amounts := func(record string, amounts []show.Amount) {
		for _, a := range amounts {
			row := textRow(record, "", a.Label, a.Note)
			row[6], row[7], row[8] = moneyCell(a), Text(a.Unit), Text(a.Figure.Key)
			if a.Negative {
				row[6].text = "-" + row[6].text
			}
			rows = append(rows, row)
		}
	}
	for _, f := range v.Facts {
		add("quote", f.Label, f.Text)
	}
	for _, s := range v.Seller {
		add("quote", "Seller", s)
	}
	for _, s := range v.Customer {
		add("quote", "Customer", s)
	}
	for _, l := range v.Lines {
		row := textRow("line", strconv.Itoa(l.Number), l.Name, strings.Join(l.Details, "; "))
		row[4], row[5], row[6] = figureCell(l.Quantity.Figure, 0), moneyCell(l.Price), moneyCell(l.Total)
		row[7], row[8] = Text(l.Total.Unit), Text(l.Total.Figure.Key)
		rows = append(rows, row)
	}
	amounts("sum", v.Sums)
	amounts("arrival", v.Arrival)
	amounts("exchange", v.Exchange)
	for _, t := range slices.Concat([]string{v.TaxNote, v.ArrivalNote}, v.Notes, v.Basis) {
		if t != "" {
			add("note", "", t)
		}
	}
	for _, t := range v.Cautions {
		add("caution", "", t)
	}
	if v.Hash != "" {
		add("quote", "SHA-256 of the content", v.Hash)
	}
	return WriteCSV(w, rows, profile)
}

// textRow is a row as wide as the head that begins with words.
func textRow(words ...string) []Cell {
	row := make([]Cell, len(quoteHead))
	for i, t := range words {
		row[i] = Text(t)
	}
	return row
}

// moneyCell has the places of the amount as shown.
func moneyCell(a show.Amount) Cell { return figureCell(a.Figure, a.Places) }

func figureCell(f quote.Figure, places int32) Cell {
	d, err := decimal.NewFromString(f.Value)
	if err != nil {
		return Text("")
	}
	return Cell{text: d.StringFixed(max(places, -d.Exponent())), number: true}
}
