package export

import (
	"io"

	"github.com/shopspring/decimal"

	"kerfbook/costing/papers/quote"
	"kerfbook/costing/papers/show"
)

// quoteHead are the columns of a quote as a table. The first says what a row is:
// quote, line, sum, arrival, exchange, note or caution.
var quoteHead = []string{"record", "line", "label", "text", "pieces", "price_per_piece", "amount", "unit", "figure_key"}

// WriteQuoteCSV writes the customer's document as one table.
func WriteQuoteCSV(w io.Writer, v show.QuoteView, profile Profile) error {
	rows := [][]Cell{{}}
	for _, h := range quoteHead {
		rows[0] = append(rows[0], Text(h))
	}
	for _, f := range v.Facts {
		rows = append(rows, quoteRow("quote", "", f.Label, f.Text))
	}
	for _, s := range v.Seller {
		rows = append(rows, quoteRow("quote", "", "Seller", s))
	}
	for _, s := range v.Customer {
		rows = append(rows, quoteRow("quote", "", "Customer", s))
	}
	for _, l := range v.Lines {
		rows = append(rows, lineRow(l))
	}
	rows = append(rows, amountRows("sum", v.Sums)...)
	rows = append(rows, amountRows("arrival", v.Arrival)...)
	rows = append(rows, amountRows("exchange", v.Exchange)...)
	for _, t := range append([]string{v.TaxNote, v.ArrivalNote}, append(append([]string{}, v.Notes...), v.Basis...)...) {
		if t != "" {
			rows = append(rows, quoteRow("note", "", "", t))
		}
	}
	for _, t := range v.Cautions {
		rows = append(rows, quoteRow("caution", "", "", t))
	}
	if v.Hash != "" {
		rows = append(rows, quoteRow("quote", "", "SHA-256 of the content", v.Hash))
	}
	return WriteCSV(w, rows, profile)
}

// quoteRow is a row of words.
func quoteRow(record, line, label, text string) []Cell {
	row := make([]Cell, len(quoteHead))
	for i, t := range []string{record, line, label, text} {
		row[i] = Text(t)
	}
	return row
}

func lineRow(l show.QuoteLine) []Cell {
	row := quoteRow("line", itoa(l.Number), l.Name, join(l.Details))
	row[4], row[5], row[6] = figureCell(l.Quantity.Figure, 0), moneyCell(l.Price), moneyCell(l.Total)
	row[7], row[8] = Text(l.Total.Unit), Text(l.Total.Figure.Key)
	return row
}

func join(texts []string) string {
	out := ""
	for i, t := range texts {
		if i > 0 {
			out += "; "
		}
		out += t
	}
	return out
}

func amountRows(record string, amounts []show.Amount) [][]Cell {
	var rows [][]Cell
	for _, a := range amounts {
		row := quoteRow(record, "", a.Label, a.Note)
		row[6], row[7], row[8] = moneyCell(a), Text(a.Unit), Text(a.Figure.Key)
		if a.Negative {
			row[6] = negative(row[6])
		}
		rows = append(rows, row)
	}
	return rows
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

// negative writes a number that is taken off.
func negative(c Cell) Cell {
	c.text = "-" + c.text
	return c
}
