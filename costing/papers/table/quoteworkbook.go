package table

import (
	"io"

	"kerfbook/costing/papers/quote"
	"kerfbook/costing/papers/show"
	"kerfbook/costing/papers/xlsx"
)

// The sheets of a customer's workbook.
const (
	quoteSheet = "quote"
	termsSheet = "terms"
)

// WriteQuoteWorkbook writes the customer's document as a workbook: pieces,
// prices, discount and tax rates are live, and every amount follows from them.
// It holds what the document says and nothing of how the prices came about.
//
// The error is a [*xlsx.DayError], or what w or the library returned.
func WriteQuoteWorkbook(w io.Writer, d *quote.Document, v show.QuoteView) error {
	f, err := xlsx.New(xlsx.Properties{Title: v.Title, Author: d.Seller.Name, Day: d.IssuedOn})
	if err != nil {
		return err
	}
	defer f.Close()
	named, err := writeQuoteSheet(f, d, v)
	if err != nil {
		return err
	}
	if err := writeTermsSheet(f, v); err != nil {
		return err
	}
	if err := f.RepeatHead(quoteSheet, quoteHeadRow, quoteHeadRow); err != nil {
		return err
	}
	for _, n := range named {
		f.Name(n.name, quoteSheet, n.at)
	}
	return f.Write(w)
}

// terms writes the sheet of everything that is words, and of the estimates of
// import, which are numbers that do not follow.
type terms struct{ *xlsx.Rows }

func writeTermsSheet(f *xlsx.File, v show.QuoteView) error {
	if err := f.AddSheet(termsSheet, xlsx.Paper{}); err != nil {
		return err
	}
	rows, err := f.Rows(termsSheet, 34, 90, 12, 60)
	if err != nil {
		return err
	}
	t := terms{rows}
	t.words("Quote", v.Facts...)
	t.texts("Seller", v.Seller...)
	t.texts("Customer", v.Customer...)
	t.numbers("On arrival, estimated", v.ArrivalNote, v.Arrival)
	t.numbers("Exchange rates", "", v.Exchange)
	t.texts("Notes", v.Notes...)
	t.texts("What the figures rest on", v.Basis...)
	t.texts("Cautions", v.Cautions...)
	if v.Hash != "" {
		t.texts("SHA-256 of the content", v.Hash)
	}
	return t.Close()
}

// words writes a heading with texts, if there are any.
func (t terms) words(title string, rows ...show.Fact) {
	if len(rows) == 0 {
		return
	}
	t.Put(22, t.Cell(xlsx.Style{Look: xlsx.Heading, Format: xlsx.Text}, title))
	for _, r := range rows {
		if r == (show.Fact{}) {
			continue
		}
		const perLine = 100
		t.Put(xlsx.Lines(1+len([]rune(r.Text))/perLine),
			t.Cell(xlsx.Style{Format: xlsx.Text}, r.Label),
			t.Cell(xlsx.Style{Format: xlsx.Text, Wrap: true, Indent: true}, r.Text))
	}
}

// texts writes a heading with texts that have no labels.
func (t terms) texts(title string, texts ...string) {
	facts := make([]show.Fact, len(texts))
	for i := range texts {
		facts[i].Text = texts[i]
	}
	t.words(title, facts...)
}

// numbers writes amounts that do not follow from others here.
func (t terms) numbers(title, note string, amounts []show.Amount) {
	if len(amounts) == 0 {
		return
	}
	t.texts(title, note)
	for _, a := range amounts {
		t.Put(xlsx.Lines(1),
			t.Cell(xlsx.Style{Format: xlsx.Text}, a.Label),
			t.Cell(xlsx.Style{Format: amountFormat(a), Indent: true}, xlsx.Number(a.Value())),
			t.Cell(xlsx.Style{Format: xlsx.Text, Indent: true}, a.Unit),
			t.Cell(xlsx.Style{Format: xlsx.Text, Wrap: true}, a.Note))
	}
}

// amountFormat shows the decimals of the currency; without any, all digits.
func amountFormat(a show.Amount) string {
	switch a.Places {
	case 0:
		if a.Money {
			return "#,##0"
		}
		return xlsx.General
	case 3:
		return "#,##0.000"
	default:
		return xlsx.Money
	}
}
