package export

import (
	"io"

	"github.com/xuri/excelize/v2"

	"kerfbook/costing/papers/quote"
	"kerfbook/costing/papers/show"
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
// The error is a [*DayError], or what w or the library returned.
func WriteQuoteWorkbook(w io.Writer, d *quote.Document, v show.QuoteView) error {
	meta := Meta{Title: v.Title, Author: d.Seller.Name, Day: d.IssuedOn}
	at, err := meta.stamp()
	if err != nil {
		return err
	}
	f := excelize.NewFile()
	defer f.Close()
	b := &bookWriter{f: f, meta: &meta, styles: &styles{f: f, made: map[styleKey]int{}}}
	q := &quoteBook{bookWriter: b, d: d, v: v}
	err = firstError(
		func() error { return b.properties(at) },
		func() error { return f.SetSheetName("Sheet1", quoteSheet) },
		q.writeQuote,
		q.writeTerms,
		q.define,
	)
	if err != nil {
		return err
	}
	f.SetActiveSheet(0)
	f.SetZipWriter(func(w io.Writer) excelize.ZipWriter { return newSortedZip(w, at) })
	_, err = f.WriteTo(w)
	return err
}

// quoteBook writes the two sheets.
type quoteBook struct {
	*bookWriter
	d      *quote.Document
	v      show.QuoteView
	stream *excelize.StreamWriter
	row    int // last written
	named  []namedCell
}

// namedCell is a cell of the quote sheet with a name.
type namedCell struct{ name, at string }

// define names the live cells and the head that is repeated on paper.
func (q *quoteBook) define() error {
	err := q.f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", RefersTo: quoted(quoteSheet) + "!$" + itoa(quoteHeadRow) + ":$" + itoa(quoteHeadRow), Scope: quoteSheet})
	for _, n := range q.named {
		if err == nil {
			err = q.f.SetDefinedName(&excelize.DefinedName{Name: n.name, RefersTo: quoted(quoteSheet) + "!" + n.at})
		}
	}
	return err
}

// begin sets a sheet up and opens it for writing.
func (q *quoteBook) begin(sheet string, widths ...float64) error {
	if err := q.frame(sheet); err != nil {
		return err
	}
	stream, err := q.f.NewStreamWriter(sheet)
	if err != nil {
		return err
	}
	q.stream, q.row = stream, 0
	for i := len(widths); i > 0; i-- { // the library puts the last one first
		if err := stream.SetColWidth(i, i, widths[i-1]); err != nil {
			return err
		}
	}
	return nil
}

// put writes the next row.
func (q *quoteBook) put(height float64, cells ...any) error {
	q.row++
	return q.stream.SetRow("A"+itoa(q.row), cells, excelize.RowOpts{Height: height})
}

// writeTerms writes everything that is words, and the estimates of import, which
// are numbers that do not follow.
func (q *quoteBook) writeTerms() error {
	if _, err := q.f.NewSheet(termsSheet); err != nil {
		return err
	}
	if err := q.begin(termsSheet, 34, 90, 12, 60); err != nil {
		return err
	}
	err := firstError(
		func() error { return q.words("Quote", pairs(q.v.Facts)) },
		func() error { return q.words("Seller", lone(q.v.Seller)) },
		func() error { return q.words("Customer", lone(q.v.Customer)) },
		func() error { return q.numbers("On arrival, estimated", q.v.ArrivalNote, q.v.Arrival) },
		func() error { return q.numbers("Exchange rates", "", q.v.Exchange) },
		func() error { return q.words("Notes", lone(q.v.Notes)) },
		func() error { return q.words("What the figures rest on", lone(q.v.Basis)) },
		func() error { return q.words("Cautions", lone(q.v.Cautions)) },
		func() error { return q.words("SHA-256 of the content", lone(nonEmpty(q.v.Hash))) },
	)
	if err != nil {
		return err
	}
	return q.stream.Flush()
}

func pairs(facts []show.Fact) [][2]string {
	var out [][2]string
	for _, f := range facts {
		out = append(out, [2]string{f.Label, f.Text})
	}
	return out
}

// lone are texts without labels.
func lone(texts []string) [][2]string {
	var out [][2]string
	for _, t := range texts {
		out = append(out, [2]string{"", t})
	}
	return out
}

func nonEmpty(text string) []string {
	if text == "" {
		return nil
	}
	return []string{text}
}

// words writes a heading with texts, if there are any.
func (q *quoteBook) words(title string, rows [][2]string) error {
	if len(rows) == 0 {
		return nil
	}
	if err := q.headingRow(title); err != nil {
		return err
	}
	for _, r := range rows {
		if r == ([2]string{}) {
			continue
		}
		label, err1 := q.cell(styleKey{format: textFormat}, r[0])
		text, err2 := q.cell(styleKey{format: textFormat, wrap: true, indent: true}, r[1])
		err := firstError(func() error { return err1 }, func() error { return err2 },
			func() error { return q.put(wordsHeight(r[1]), label, text) })
		if err != nil {
			return err
		}
	}
	return nil
}

func wordsHeight(text string) float64 {
	const perLine = 100
	return lineHeight * float64(1+len([]rune(text))/perLine)
}

func (q *quoteBook) headingRow(title string) error {
	head, err := q.cell(styleKey{look: heading, format: textFormat}, title)
	if err != nil {
		return err
	}
	return q.put(22, head)
}

// numbers writes amounts that do not follow from others here.
func (q *quoteBook) numbers(title, note string, rows []show.Amount) error {
	if len(rows) == 0 {
		return nil
	}
	if err := q.words(title, lone([]string{note})); err != nil {
		return err
	}
	for _, a := range rows {
		label, err1 := q.cell(styleKey{format: textFormat}, a.Label)
		number, err2 := q.cell(styleKey{format: amountFormat(a), indent: true}, cellNumber(a.Value()))
		unit, err3 := q.cell(styleKey{format: textFormat, indent: true}, a.Unit)
		text, err4 := q.cell(styleKey{format: textFormat, wrap: true}, a.Note)
		for _, err := range []error{err1, err2, err3, err4} {
			if err != nil {
				return err
			}
		}
		if err := q.put(lineHeight, label, number, unit, text); err != nil {
			return err
		}
	}
	return nil
}

// amountFormat shows the decimals of the currency; without any, all digits.
func amountFormat(a show.Amount) string {
	switch a.Places {
	case 0:
		if a.Money {
			return "#,##0"
		}
		return general
	case 3:
		return "#,##0.000"
	default:
		return money
	}
}
